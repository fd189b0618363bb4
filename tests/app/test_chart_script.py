"""BokehJS comes along where our server does not bring it."""

import pytest
from IPython.core.interactiveshell import InteractiveShell
from IPython.utils.capture import capture_output

from explorer.app.elsewhere import OWN_SERVER, bring_chart_script


@pytest.fixture
def output_of_notebook():
    """An IPython shell, without which nothing is displayed but printed."""
    InteractiveShell.instance()
    yield lambda: "".join(str(output.data) for output in captured_outputs())
    InteractiveShell.clear_instance()


def captured_outputs():
    with capture_output() as captured:
        bring_chart_script()
    return captured.outputs


def test_outside_our_server_the_script_is_written(monkeypatch, output_of_notebook):
    monkeypatch.delenv(OWN_SERVER, raising=False)
    text = output_of_notebook()
    assert "Bokeh" in text
    assert len(text) > 1_000_000  # the script itself, not a link to it


def test_our_server_brings_the_script(monkeypatch, output_of_notebook):
    monkeypatch.setenv(OWN_SERVER, "yes")
    assert output_of_notebook() == ""
