"""A sprocket moves every gear by the same factor and changes no gap."""

from explorer.study.study import FITTED
from tests.tasks.lesson.lesson_checks import (
    NUMBER,
    by_definition,
    gaps,
    gaps_stay,
    less_at_the_tyre,
    near,
)

STEP = 4


def gears_seen(facts, said):
    sprockets = facts.bike.sprockets
    assert near(said[1], 100 / sprockets.rear)
    assert near(said[2], (sprockets.front / (sprockets.front - 1) - 1) * 100)
    if said[3] is not None:
        here = gaps(facts, FITTED) * 100
        assert near(said[3], here.min()) and near(said[4] or said[3], here.max())
        assert near(said[5], here[-1])


CLAIMS = [
    (r"Which of these changes the pull most\?", by_definition),
    (
        rf"One rear tooth {NUMBER} %, one front tooth {NUMBER} %"
        rf"(?:, one gear down {NUMBER}(?: to {NUMBER})? %, from top gear {NUMBER} %"
        r"|\. This bike has a single gear)\.",
        gears_seen,
    ),
    (r"Sprockets move every gear and change no gap\.", gaps_stay),
    (r"A sprocket moves every gear by the same factor, so .*", gaps_stay),
    (r"A gap that hurts .*is not mended by sprockets: .*", gaps_stay),
    (r"Only other gear ratios inside the gearbox change a gap\.", gaps_stay),
    (r"The lower gear is easier on the legs and turns them more often .*", less_at_the_tyre),
    (r"Which is quicker depends on the rider: a gear adds no power\.", by_definition),
]
