"""Which set-up is under the sliders, adding and removing one, and their file."""

from urllib.parse import quote

from explorer.app.faults import Faults
from explorer.app.scales import from_number, number, scale
from explorer.charts.compare.compare_looks import LOOKS
from explorer.panels import widgets
from explorer.panels.choice_control import ChoiceControl
from explorer.panels.html import help_line, link
from explorer.panels.number_control import NumberControl, Scale
from explorer.records.ground.course import courses
from explorer.records.setups.comparison import MOST, read_file, write_file
from explorer.tasks.compare.state import CompareState


class CompareControls:
    """Controls in groups that the page places.

    Attributes:
        which, course, cruise, file: Set-up under the sliders; the course; the speed to cruise at;
            upload and download.
    """

    def __init__(self, state: CompareState, faults: Faults) -> None:
        self._state = state
        self._which = ChoiceControl(
            "Set-up to change",
            "A is the fitted gearing and stays; the sliders below change this one.",
            self._options(),
            state.choice.at,
            faults.guard(state.select),
            widgets.ToggleButtons,
        )
        self._add = widgets.Button(
            description="Add a set-up", tooltip="Like this one, with another rear sprocket"
        )
        self._add.on_click(faults.guard(lambda _: state.add()))
        self._remove = widgets.Button(
            description="Remove this set-up", tooltip="The one under the sliders"
        )
        self._remove.on_click(faults.guard(lambda _: state.remove()))
        self.which = widgets.VBox([self._which.widget, widgets.HBox([self._add, self._remove])])
        self._course = ChoiceControl(
            "Course",
            "Invented demo courses, at full throttle and full braking.",
            [(course.label, course_id) for course_id, course in courses().items()],
            state.setup.course,
            faults.guard(lambda value: state.change(course=value)),
        )
        self.course = self._course.widget
        self._cruise = NumberControl(
            "Cruise speed",
            "For the engine speed in the table below.",
            self._cruise_scale(),
            self._cruise_number(),
            faults.guard(
                lambda value: state.change(
                    cruise_speed=from_number("cruise_speed", value, state.setup.units)
                )
            ),
        )
        self.cruise = self._cruise.widget
        self._download = widgets.HTML()
        upload = widgets.FileUpload(
            accept=".toml",
            multiple=False,
            description="Open a file of set-ups",
            tooltip="A .toml file, as the download makes it",
        )
        upload.observe(faults.guard(self._uploaded), "value")
        self.file = widgets.VBox(
            [
                self._download,
                upload,
                help_line("At most 1 MB. The file stays in this visit: nothing is stored here."),
            ]
        )
        self.show()

    def show(self) -> None:
        """Show the state, whoever changed it."""
        self._which.show(self._state.choice.at, self._options())
        self._add.disabled = len(self._state.others) >= MOST
        self._remove.disabled = len(self._state.others) == 1
        self._course.show(self._state.setup.course)
        self._cruise.show(self._cruise_number(), self._cruise_scale())
        file = write_file(self._state.others, self._state.bike.name)
        self._download.value = link(
            f"data:application/toml;charset=utf-8,{quote(file)}",
            "Download these set-ups as a file",
            "set-ups.toml",
        )

    def _cruise_scale(self) -> Scale:
        return scale("cruise_speed", self._state.setup.units)

    def _cruise_number(self) -> float:
        setup = self._state.setup
        return number("cruise_speed", setup.cruise_speed, setup.units)

    def _options(self) -> list[tuple[str, int]]:
        others = self._state.others
        return [(f"{LOOKS[at + 1].letter} {each.pair}", at) for at, each in enumerate(others)]

    def _uploaded(self, change: dict) -> None:
        files = [bytes(file["content"]) for file in change["new"]]
        if files:
            self._state.take(read_file(files[0], self._state.bike))
