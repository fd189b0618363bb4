"""Bokeh figures as one widget that sends all changes of one repaint in one message."""

from collections.abc import Callable, Iterator
from typing import Any

from bokeh.core.json_encoder import serialize_json
from bokeh.document import Document
from bokeh.document.events import DocumentPatchedEvent
from bokeh.embed.util import standalone_docs_json_and_render_items
from bokeh.model import Model
from bokeh.models import LayoutDOM
from bokeh.protocol import Protocol
from ipywidgets import Widget
from jupyter_bokeh import BokehModel
from markupsafe import Markup


class ChartWidget(BokehModel):
    """Shows figures side by side and collects their changes until `flush`.

    `BokehModel` shows one model, sends three messages for every property that changes, and the
    browser draws after each. Here all figures share a document, so that one message carries
    everything and the browser draws once. The charts' columns are plain lists, so a message
    never needs binary buffers.

    The titles are headings, one for each figure. The guard wraps what a tap on a figure sets off.
    """

    def __init__(
        self,
        *figures: LayoutDOM,
        titles: tuple[str, ...] = (),
        guard: Callable[[Callable], Callable] = lambda callback: callback,
    ) -> None:
        self._waiting: list[DocumentPatchedEvent] = []
        self._changed, self._as_now, self._titles = False, "", titles
        document = Document()
        for figure in figures:
            document.add_root(figure)
        self._sync_model = guard(self._sync_model)
        super().__init__(figures[0])

    def _model_to_traits(self, model: Model) -> dict:
        """What the browser is given: all figures of the document, appended behind the headings."""
        document = model.document
        # Callbacks do reach Python, through this widget; Bokeh's warning does not know of it.
        docs_json, [item] = standalone_docs_json_and_render_items(
            document.roots, suppress_callback_warning=True
        )
        headings = Markup("").join(Markup("<h2>{}</h2>").format(title) for title in self._titles)
        three = " ge-three" if len(self._titles) == 3 else ""
        div = str(Markup('<div class="ge-figures{}">{}</div>').format(three, headings))
        return {"docs_json": docs_json, "render_items": [item.to_json()], "div": div}

    def get_state(self, key: Any = None, drop_defaults: bool = False) -> dict[str, Any]:
        """What the browser asks for first: the figures as they are now, not as they were made."""
        state = super().get_state(key, drop_defaults)
        if "render_bundle" in state:
            if self._changed:
                self._as_now = serialize_json(self._model_to_traits(self._model))
                self._changed = False
            state["render_bundle"] = self._as_now or state["render_bundle"]
        return state

    def _document_patched(self, event: DocumentPatchedEvent) -> None:
        self._changed = True
        if event.setter is not self:
            self._waiting.append(event)

    def flush(self) -> None:
        """Send what has changed since the last time."""
        if not self._waiting:
            return
        message = Protocol().create("PATCH-DOC", self._waiting)
        self._waiting = []
        for part in (message.header_json, message.metadata_json, message.content_json):
            self.send({"msg": "patch", "payload": part})

    def send_whole(self) -> None:
        """Send the figures as they are: what was sent before met no view of them in the browser."""
        self._waiting = []
        self.send_state("render_bundle")

    def close(self) -> None:
        """Let go of the browser's side; once is enough, also when Python collects the widget."""
        if self.comm is not None:
            super().close()


def charts_in(*widgets: Widget) -> Iterator[ChartWidget]:
    """The charts among some widgets and what stands in them."""
    for each in widgets:
        if isinstance(each, ChartWidget):
            yield each
        yield from charts_in(*getattr(each, "children", ()))
