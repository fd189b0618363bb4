"""A Bokeh figure as a widget that sends all changes of one repaint in one message."""

from bokeh.document.events import DocumentPatchedEvent
from bokeh.model import Model
from bokeh.protocol import Protocol
from jupyter_bokeh import BokehModel


class ChartWidget(BokehModel):
    """Collects the changes of a figure until `flush`, so that the browser draws once.

    `BokehModel` sends three messages for every property that changes and the browser draws after
    each. The charts' columns are plain lists, so a patch never carries binary buffers.

    Parameters
    ----------
    model : bokeh.model.Model
        The figure, complete: what changes before the widget is shown is lost.
    """

    def __init__(self, model: Model) -> None:
        self._waiting: list[DocumentPatchedEvent] = []
        super().__init__(model)

    def _document_patched(self, event: DocumentPatchedEvent) -> None:
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
