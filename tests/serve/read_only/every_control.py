"""A page with one of every kind of control, and its widgets as a visitor hears of them."""

import json

from tests.serve.visitor import Visit

PAGE = """
import json, os
import ipywidgets as w
from bokeh.events import Tap
from bokeh.models import CustomAction
from bokeh.plotting import figure
from explorer.app.address import query_string
from explorer.app.chart_widget import ChartWidget

query = query_string()
chart = figure(height=300, tools="pan,tap")
chart.add_tools(CustomAction(icon="data:image/png;base64,AAAA", name="own"))
chart.line([0, 1, 2], [0, 1, 4])
tapped = w.HTML()
tapped.add_class("tapped")
chart.on_event(Tap, lambda tap: setattr(tapped, "value", f"tapped at {tap.x:g}"))
slider = w.IntSlider(value=13, min=9, max=17, description="Front sprocket")
said = w.HTML()
said.add_class("said")
slider.observe(lambda _: setattr(said, "value", f"{slider.value} teeth"), "value")
button = w.Button(description="More")
button.on_click(lambda _: setattr(said, "value", "clicked"))
about = w.HTML(json.dumps({"process": os.getpid(), "query": query, "told": dict(os.environ)}))
about.add_class("about")
w.VBox([
    about, slider, said, tapped, button,
    w.Text(description="Name"), w.Dropdown(options=["a", "b"], description="Tyre"),
    w.FloatSlider(description="Slope"), w.FileUpload(), w.Accordion(children=[w.HTML("x")]),
    w.SelectMultiple(options=["a", "b"]), w.Checkbox(), w.FloatText(),
    w.HTML("x" * 1_000_000), ChartWidget(chart),
])
"""


SLIDER, SAID, TEXT, UPLOAD, BUTTON = (
    "IntSliderModel",
    "said",
    "TextModel",
    "FileUploadModel",
    "Button",
)


class Widgets:
    """Where the widgets of the test page are found."""

    def __init__(self, states: dict[str, dict]) -> None:
        self.states = states

    def id(self, what: str) -> str:
        """Id of the only widget of a model, or with a class of ours."""
        [number] = [
            number
            for number, state in self.states.items()
            if state["_model_name"] == what or what in state.get("_dom_classes", ())
        ]
        return number

    def value(self, what: str):
        return self.states[self.id(what)]["value"]

    def about(self) -> dict:
        return json.loads(self.value("about"))


async def widgets_of(visit: Visit) -> Widgets:
    async with visit.websocket() as websocket:
        return Widgets(await websocket.states())


async def still_works(visit: Visit, process: int | None = None) -> None:
    """The page's kernel is the one it was, and answers its controls."""
    widgets = await widgets_of(visit)
    assert process is None or widgets.about()["process"] == process
    async with visit.websocket() as websocket:
        before = widgets.value(SLIDER)
        after = before + 1 if before < 17 else 9
        await websocket.update(widgets.id(SLIDER), value=after)
        await websocket.settle()
        assert Widgets(await websocket.states()).value(SAID) == f"{after} teeth"
