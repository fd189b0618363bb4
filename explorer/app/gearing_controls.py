"""The controls in groups, for pages that are not yet made of items (explorer/app/page.py)."""

from explorer.app import controls
from explorer.app.page import OpenPage


class GearingControls(OpenPage):
    """All controls, in groups that the page places."""

    def __init__(self, state, faults) -> None:
        self.state, self.faults, self._parts, self._kinds = state, faults, [], {}
        self.reader, self.gearing, self.ground, self.measure = self.make(
            controls.BIKE_AND_UNITS, controls.GEARING, controls.GROUND, controls.MEASURE
        )
        [self.cruise] = self.make(controls.slider("cruise_speed"))

    def show(self) -> None:
        """Show the state, whoever changed it."""
        self._show_state()
