"""BokehJS, which every chart needs, in a page that our own server does not serve."""

import os

from bokeh.io import output_notebook
from bokeh.resources import INLINE

OWN_SERVER = "GEARING_EXPLORER_SERVER"
"""Variable by which our server tells a kernel that its page brings BokehJS along."""


def served_by_us() -> bool:
    """Whether our own server shows the page, and not a notebook server."""
    return os.environ.get(OWN_SERVER) == "yes"


def bring_chart_script() -> None:
    """Write BokehJS into the notebook's output, unless our server's page has it already.

    To be called before the first chart is shown. In a notebook server (JupyterLab, Binder) nobody
    else loads it, and a chart without it is an error message. It is some megabytes, from the
    installed package and from no other host.
    """
    if not served_by_us():
        output_notebook(INLINE, hide_banner=True)
