"""The front page begins with the rider: three questions, the way in for one's own bike, one worked
example, then the rest.
"""

import re
from urllib.request import urlopen


def test_the_front_page_begins_with_what_a_rider_asks(server):
    with urlopen(server.url, timeout=60) as answer:
        html = answer.read().decode()
    doors = re.findall(r'class="ge-door" href="[^"]*?([\w#]+)"><strong>(.*?)</strong>', html)
    asked = {("wants", "What bothers you?"), ("gearing", "Try a sprocket"), ("fit", "Does it fit?")}
    assert set(doors) == asked | {("gearing#own", "Enter your own bike")} and len(doors) == 4
    assert html.index("ge-door") < html.index("ge-worked") < html.index("<h2>All pages</h2>")
    # One ticks what bothers one; there is no field for it.
    assert "Tick what bothers you, say where you ride" in html and "own words" not in html
    # By hand: 13 teeth over 12, and 12 over 13.
    assert "each gear pulls 8.3 % harder at the same rpm and runs 7.7 % slower" in html
    assert re.search(r'href="[^"]*gearing\?bike=[\w-]+&amp;front=12&amp;rear=50"', html)
