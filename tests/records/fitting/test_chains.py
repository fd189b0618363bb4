"""Chain sizes of data/chains.csv."""

import pytest

from explorer.records.errors import RecordError
from explorer.records.fitting.chains import chain_size, chain_sizes
from explorer.records.prose import read_table


def test_first_digit_of_the_number_is_the_pitch_in_eighths_of_an_inch():
    """Number code: encyclopedic article "Motorcycle chain"; pitch exact."""
    for number, chain in chain_sizes().items():
        assert chain.pitch == pytest.approx(int(number[0]) * 0.0254 / 8, rel=1e-12)


def test_last_two_digits_are_the_inner_width_in_eightieths_of_an_inch():
    """Same article; trade tables differ by up to 0.25 mm. 415, 532 and 632 go their own way."""
    widths = {row["chain"]: float(row["inner_width_mm"]) for row in read_table("chains")}
    for number in ("420", "428", "520", "525", "530", "630"):
        nominal = {"428": 25}.get(number, int(number[1:])) * 25.4 / 80
        assert widths[number] == pytest.approx(nominal, abs=0.25)


@pytest.mark.parametrize("text", ["", "52", "520 O", "<b>520</b>", "0"])
def test_unknown_number_gives_one_sentence(text):
    with pytest.raises(RecordError, match="428, 520") as caught:
        chain_size(text)
    assert len(caught.value.sentences) == 1
