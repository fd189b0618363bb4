"""The one state of the check page: that of a gearing, with the wants that a link brings along."""

from explorer.app.state import State
from explorer.tasks.wants.state import WantsState


class CheckState(WantsState):
    """That of the wants page; but with another bike all stays that was not the bike's own."""

    _take = State._take
