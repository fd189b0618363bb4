"""The card of a course: pick one, bring one or type one, and see both gearings ride it."""

import functools
from urllib.parse import quote

from explorer.app import controls
from explorer.app.chart_widget import ChartWidget
from explorer.app.debounce import Debounce
from explorer.app.faults import Faults
from explorer.app.page import OpenPage
from explorer.app.state import State
from explorer.calc.course.fastest import Course as SegmentArrays
from explorer.charts.gearing import course_chart
from explorer.panels import widgets
from explorer.panels.card import card, heading
from explorer.panels.controls import ChoiceControl
from explorer.panels.course_table import CourseTable, Row
from explorer.panels.html import help_line, link, sentences, table
from explorer.records.errors import RecordError
from explorer.records.ground.course import MOST_SEGMENTS, Course, courses, read_course, write_course
from explorer.records.ground.course_rows import CourseRow, course_of, rows_of
from explorer.records.ground.surfaces import surfaces
from explorer.study.course import ride_all, ride_pairs
from explorer.study.study import Study
from explorer.tasks.ground import course_words as words

OWN = "own"
"""Choice that stands for a course which came from a file or was changed on the page."""

_RIDDEN_WITH = (
    *("front", "rear", "tyre", "rollout", "head_wind", "altitude", "temperature", "rider_mass"),
    *("course_rider", "units"),
)
"""Fields of the set-up that a ride depends on; slope and surface come from the course."""


class CourseCard:
    """Choice, upload, table and ride of one course.

    The widget is made last: a chart handed to its widget misses every change before it is shown.
    """

    def __init__(self, page: OpenPage) -> None:
        self._state: State = page.state
        self._ridden_by = page.make(controls.RIDDEN)
        self._faults = Faults()
        self._later = Debounce(self._faults.guard(self._ride))
        self.course = courses()[self._state.setup.course]
        self._own: Course | None = None
        self._table: CourseTable | None = None
        self._choice = ChoiceControl(
            "Course",
            "Invented demo courses; open or type your own below.",
            self._options(),
            self._state.setup.course,
            self._faults.guard(self._picked),
        )
        self._note = widgets.HTML().add_class("ge-help")
        self._said = widgets.HTML()
        self._numbers = widgets.HTML().add_class("ge-table")
        self._summary = widgets.HTML().add_class("ge-help")
        self._pairs_said = widgets.HTML()
        self._pairs_table = widgets.HTML().add_class("ge-table")
        self._download = widgets.HTML()
        self._place = widgets.VBox()
        self._chart_widget: ChartWidget | None = None
        self.result, self._ridden = ride_all(*self._asked()), self._key()
        self._chart = course_chart.CourseChart(words.course_view(self.result))
        self._paint()
        self._chart_widget = ChartWidget(self._chart.figure)
        self.widget = self._assemble(self._chart_widget)

    def show(self) -> None:
        """Follow the state: ride again once it rests, if it changes the ride."""
        setup = self._state.setup
        if self._own is None:
            self.course = courses()[setup.course]
        self._choice.show(OWN if self._own is not None else setup.course, self._options())
        if self._key() != self._ridden:
            self._later.ask()

    def _key(self) -> tuple:
        setup = self._state.setup
        chosen = tuple(getattr(setup, field) for field in _RIDDEN_WITH)
        return self._state.bike, self.course, chosen

    def _options(self) -> list[tuple[str, str]]:
        options = [(course.label, course_id) for course_id, course in courses().items()]
        return options if self._own is None else [*options, (f"Own: {self._own.label}", OWN)]

    def _picked(self, course_id: str) -> None:
        if course_id == OWN:
            return
        self._own = None
        self._use(courses()[course_id])
        self._state.change(course=course_id)
        self.show()

    def _take(self, course: Course) -> None:
        """Use a course of the rider's own."""
        self._own = course
        self._use(course)
        self.show()

    def _use(self, course: Course) -> None:
        self.course = course
        if self._table is not None and self._table.rows != self._rows(course):
            self._table.show(self._rows(course))

    def _rows(self, course: Course) -> tuple[Row, ...]:
        return tuple(Row(*row) for row in rows_of(course, self._state.setup.units))

    def _typed(self, rows: tuple[Row, ...]) -> None:
        """Take the table as it stands, or say beside it what cannot be read; the text stays."""
        try:
            course = course_of([CourseRow(*row) for row in rows], self.course.label)
        except RecordError as error:
            self._table.answer(*error.sentences, "Until then the course is ridden as it was.")
            return
        self._table.answer()
        self._own = self.course = course
        self.show()

    def _open_table(self) -> None:
        if self._table is None:
            options = [(surface.label, surface_id) for surface_id, surface in surfaces().items()]
            self._table = CourseTable(
                options,
                self._rows(self.course),
                MOST_SEGMENTS,
                self._faults.guard(self._typed),
                functools.partial(self._faults.guard, clears=False),
            )
            self._place.children = [self._table.widget]

    def _asked(self) -> tuple[Study, SegmentArrays]:
        setup = self._state.setup
        return Study.of(self._state.bike, setup), self.course.arrays(setup.tyre_kind)

    def _ride(self) -> None:
        self.result, self._ridden = ride_all(*self._asked()), self._key()
        self._paint()

    def _compare(self) -> None:
        self._pairs_said.value = sentences(["Riding the course with every pair …"], "ge-said")
        self._pairs_table.value = ""
        pairs = ride_pairs(*self._asked())
        self._pairs_said.value = sentences(words.pair_sentences(pairs, self.result), "ge-said")
        self._pairs_table.value = table(
            ("Front/rear", "Place", "Time", "Shifts", "On the limiter"),
            words.pair_rows(pairs, self.result),
        )

    def _paint(self) -> None:
        view = words.course_view(self.result)
        self._chart.update(view)
        self._summary.value = sentences([course_chart.describe(view)], "ge-summary")
        said = words.course_sentences(self.result, self.course.label)
        self._said.value = sentences(said, "ge-said")
        self._numbers.value = table(
            ("On this course", "Fitted", "Chosen"), words.course_rows(self.result)
        )
        # Times of other pairs belong to the ride before.
        self._pairs_said.value = self._pairs_table.value = ""
        note = [*self.course.notes, *([words.SAY["own-course"]] if self._own else [])]
        self._note.value = sentences([" ".join(note)], "ge-said")
        shown_in = ("ft", "mph") if self._state.setup.units == "imperial" else ("m", "km/h")
        csv = f"data:text/csv;charset=utf-8,{quote(write_course(self.course, *shown_in))}"
        self._download.value = link(csv, "Download this course as CSV", "course.csv")
        if self._chart_widget is not None:
            self._chart_widget.flush()

    def _assemble(self, chart: ChartWidget) -> widgets.Widget:
        opened = controls.upload(
            "Open a course file",
            "A CSV file, as the download makes it",
            ".csv",
            lambda files: self._take(read_course(*files.values())),
        )
        edit = self._faults.button(
            "Edit this course", self._open_table, "Opens a table with one row for each piece"
        )
        compare = self._faults.button(
            "Compare all pairs on this course",
            self._compare,
            "Rides the course with every pair of sprockets sold for the bike",
        )
        ridden = [self._note, self._said, chart, self._summary, self._numbers]
        ridden.append(widgets.VBox([compare, self._pairs_said, self._pairs_table]))
        kept = help_line("At most 200 kB. The file stays in this visit: nothing is stored here.")
        own = [heading("Your own course"), widgets.HBox([edit, opened]), kept, self._place]
        picked = [self._faults.widget, self._choice.widget, *self._ridden_by]
        return card("A course", *picked, *ridden, *own, self._download)
