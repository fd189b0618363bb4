"""Private names of the scripts that page.js reaches into: JupyterLab's and ipywidgets'.

page.js looks for each before it uses it, and leaves that part as the libraries do it otherwise.
"""

NAMES = {
    "_onWSClose": "@jupyterlab/services in voila 0.5.13: a late look ends a newer websocket",
    "_pending_msgs": "ipywidgets 8.1.9: a control whose last change was lost says nothing more",
    "_msg_buffer": "ipywidgets 8.1.9: the same",
    "widgetManagerPromise": "voila 0.5.13: page.js shows the page's widgets by it",
}


def missing_in(scripts: bytes) -> list[str]:
    """A sentence for each name that these scripts do not hold."""
    return [
        f"The scripts of the widget libraries have no {name} any more ({why})."
        for name, why in NAMES.items()
        if name.encode() not in scripts
    ]
