"""What a guarded callback leaves on the page."""

from explorer.app.faults import Faults


def test_the_next_thing_that_works_takes_the_sentence_away():
    faults = Faults()
    faults.say("Teeth are whole numbers.")
    faults.guard(lambda: None)()
    assert faults.widget.value == ""


def test_work_done_after_a_pause_takes_nothing_away():
    faults = Faults()
    faults.say("Teeth are whole numbers.")
    faults.guard(lambda: None, clears=False)()
    assert "Teeth are whole numbers." in faults.widget.value
