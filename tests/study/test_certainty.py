"""What is printed of a difference and its band says what the band says, to the last digit."""

from hypothesis import given
from hypothesis import strategies as st

from explorer.calc.statistics.sampling import Band, Change
from explorer.study.certainty import NO_DIFFERENCE, is_real, judged, with_band
from tests.printed_bands import Printed

VALUES, WIDTHS = st.floats(-500, 500), st.floats(1e-3, 300)


@given(VALUES, WIDTHS, WIDTHS)
def test_the_printed_range_holds_zero_only_where_the_difference_may_be_none(value, below, above):
    change = Change(value, Band(below, above))
    said, _ = judged(change, 1.0, "km/h")
    if said == NO_DIFFERENCE or said.startswith("0 to "):
        return
    printed = Printed.read(said)
    if is_real(*change):
        assert printed.low >= 0 or printed.high <= 0, said
    else:
        assert printed.low <= 0 <= printed.high, said


@given(VALUES, WIDTHS, WIDTHS)
def test_both_printed_ends_are_where_the_band_ends(value, below, above):
    """As far as one digit of the band says, two if it begins with a 1 (GUM 7.2.6)."""
    printed = Printed.read(with_band(value, Band(below, above), "N"))
    room = 0.7 * max(below, above) + 0.016  # a hundredth is the finest digit
    assert abs(printed.low - (value - below)) < room
    assert abs(printed.high - (value + above)) < room
    assert printed.low <= float(printed.value.replace("−", "-")) <= printed.high


@given(st.floats(0.01, 500), WIDTHS, st.floats(0, 1))
def test_no_speed_or_time_is_printed_as_less_than_nothing(value, above, share):
    printed = Printed.read(with_band(value, Band(share * value, above), "s"))
    assert printed.low >= 0
