"""Each sentence of the lesson as it is read, with the check that it must pass on a bike."""

from explorer.tasks.lesson.link import BICYCLE, CHALLENGE, RECAP, RUN, SMALL_FRONT
from tests.tasks.lesson.lesson_checks import (
    NUMBER,
    apart_said,
    bends_further,
    by_definition,
    division,
    gaps_stay,
    gears_seen,
    lever_asked,
    lever_seen,
    never_alike,
    no_more_power,
    overall_said,
    product_is_one,
    several,
    three_to_five,
    tooth_by_tooth,
    turns_seen,
    two_asked,
    two_seen,
    what_differs,
)
from tests.tasks.lesson.lesson_checks_riding import (
    against_fitted,
    as_hard,
    at_the_limit,
    bend_asked,
    bend_said,
    challenge_asked,
    clutch_slips,
    difference_is_known_better,
    division_rule,
    each_gain_costs,
    enough,
    its_price,
    less_at_the_tyre,
    less_even,
    limit_said,
    louder_not_faster,
    more_rotating_mass,
    most_power,
    never_taken,
    no_challenge,
    no_gear_runs,
    no_harder_pull,
    no_real_change,
    not_measured,
    nothing_holds,
    one_gear,
    one_way_only,
    own_said,
    pair_said,
    power_at_top,
    power_wins,
    ran,
    roll_out_share,
    rule_of_shifting,
    runs_at_the_limit,
    same_ratio,
    slack_changes,
    smaller_circle,
    so_many_compromises,
    speed_needed,
    start_alike,
    table_promises,
    taller_holds_none,
    taller_said,
    tightest_at_an_end,
    tightest_in_line,
    too_close,
    torque_falls,
    who_is_ahead,
)

PAIR = r"(\d+)/(\d+)"
ASKED = rf"{PAIR}(?: instead of \d+/\d+)?"
BAND = r"(?:± ([0-9.]+)|\+([0-9.]+)/−([0-9.]+))"
WHERE = r".+?, (?:level|-?[0-9.]+ % slope), .+ altitude"

# What each step says beside its questions, as a pattern of a whole sentence, and its check.
CLAIMS = {
    1: [
        (
            rf"{ASKED}: the gearbox turns the front sprocket with {NUMBER} N·m, so the chain pulls "
            rf"the rear one with {NUMBER} N\. How hard does the tyre push on the ground\?",
            lever_asked,
        ),
        (
            rf"Chain {NUMBER} N on an arm of {NUMBER} mm; tyre {NUMBER} N on {NUMBER} mm\.",
            lever_seen,
        ),
        (r"A larger rear sprocket trades speed for pull, never adds power\.", no_more_power),
        (r"Chain force times short arm is tyre force times long arm: .*", no_more_power),
        (r"For one turn of the wheel the front sprocket makes rear ÷ front turns\.", by_definition),
        (r"Force against turns: never more power\.", no_more_power),
        (r"The engine's power and torque stay as they are\.", no_more_power),
        (r"The pull at the tyre grows and the speed shrinks by the same factor; .*", no_more_power),
        (r"The final drive ratio is rear ÷ front: .*", by_definition),
        (r"A larger number is shorter gearing\.", no_more_power),
        (r"The count is the final drive ratio, rear ÷ front\.", by_definition),
    ],
    2: [
        (r"Fitted is \d+/\d+\. How many rear teeth more would do as much as .*", by_definition),
        (rf"(\d+) ÷ \((\d+) − 1\) = {NUMBER}\.", division),
        (
            rf"One front tooth fewer: pull {NUMBER} %\. One rear tooth more: {NUMBER} %\.",
            tooth_by_tooth,
        ),
        (r"A small front sprocket bends the chain more sharply: it wears sooner\.", bends_further),
        (r"One tooth in front counts like several at the rear\.", several),
        (r"Rear teeth for one front tooth fewer: rear ÷ \(front − 1\)\.", division_rule),
        (r"The front is coarse and cheap, the rear fine\.", several),
        (r"Fewer in front or more at the rear is shorter\.", no_more_power),
        (
            r"Gearing up, or taller, is fewer teeth at the rear or more at the front\.",
            no_more_power,
        ),
        (r"More at the rear is gearing down, or shorter\.", no_more_power),
        (r"It is rear ÷ \(front − 1\) for one tooth fewer, on most .* five\.", three_to_five),
        (r"Each link bends further on it and the chain runs less evenly, .*", bends_further),
        (r"The ratio is the same for 13/52 and 12/48; wrap and axle place are not\.", same_ratio),
    ],
    3: [
        (
            rf"From {PAIR} to {PAIR} the pull (grows|falls) by {NUMBER} %\. By how many per cent "
            r"does the speed (fall|grow) at the same engine speed\?",
            two_asked,
        ),
        (
            rf"{PAIR} to {PAIR}, at the same rpm: pull {NUMBER} %, speed {NUMBER} %\.",
            two_seen,
        ),
        (r"Pull and speed change by different percentages\.", never_alike),
        (r"Pull: new ratio ÷ old − 1\. Speed at the same rpm: old ÷ new − 1\.", product_is_one),
        (r"Multiplied by each other the two factors give one: .*", product_is_one),
        (r"Pull changes by new ratio ÷ old ratio − 1, .*: never the same number\.", never_alike),
        (r"Driven from a wheel it is\.", by_definition),
        (r"Driven from the gearbox, its reading changes by the same percentage .*", by_definition),
    ],
    4: [
        (r"Which of these changes the pull most\?", by_definition),
        (
            rf"One rear tooth {NUMBER} %, one front tooth {NUMBER} %"
            rf"(?:, one gear {NUMBER}(?: to {NUMBER})? %|\. This bike has a single gear)\.",
            gears_seen,
        ),
        (r"Sprockets move every gear and change no gap\.", gaps_stay),
        (r"A sprocket moves every gear by the same factor, so .*", gaps_stay),
        (r"A gap that hurts .*is not mended by sprockets: .*", gaps_stay),
        (r"Only other gear ratios inside the gearbox change a gap\.", gaps_stay),
        (r"The lower gear is easier on the legs and turns them more often .*", less_at_the_tyre),
        (r"Which is quicker depends on the rider: a gear adds no power\.", by_definition),
    ],
    5: [
        (rf".+ and .+ both get {PAIR}\. Whose engine makes more turns .*\?", by_definition),
        (rf"Engine turns per metre in top gear: {NUMBER} and {NUMBER}\.", turns_seen),
        (r"Same sprockets, different .*\.|Nothing differs between .*", what_differs),
        (r"Compare engine turns per metre, not sprockets\.", by_definition),
        (
            rf"(.+), top gear: {NUMBER} \(primary\) × {NUMBER} \(gear\) × {NUMBER} \(final\) = "
            rf"{NUMBER} overall, {NUMBER} engine turns for a metre of road\.",
            overall_said,
        ),
        (rf"The same sprockets, {NUMBER} % apart: .*", apart_said),
        (r"Primary reduction, gear and tyre count too: .*", by_definition),
        (r"The count is the overall ratio in top gear\.", by_definition),
        (r"The difference is what a tyre size can't know\.", by_definition),
        (r"The difference between the two is what a tyre size can't know\.", by_definition),
    ],
    6: [
        (rf"{ASKED}, .+ km/h, full throttle \({WHERE}\)\. In which gear .*", by_definition),
        (
            rf"Most power there: (\d)\w\w, {NUMBER} kW\. Most torque at the crankshaft: (\d)\w\w\.",
            most_power,
        ),
        (r"No gear runs at this speed\.", no_gear_runs),
        (r"At one speed, the most power pulls hardest\.", power_wins),
        (r"Pull is power at the wheel ÷ road speed, so at one speed .*", power_wins),
        (r"Where the ground or the front wheel holds less than the engine has, .*", by_definition),
        (r"Power is torque times engine speed: .*", power_wins),
        (r"At one road speed the pull follows the power .*", power_wins),
        (r"The gear decides at which engine speed it runs, .*", power_wins),
        (r"Nobody rides slower with the clutch out than .*", by_definition),
        (r"The computed time stands under .*", by_definition),
    ],
    7: [
        (
            rf"{ASKED}, full throttle \({WHERE}\)\. At how many rpm is changing up .*",
            rule_of_shifting,
        ),
        (r".* on this ground: is \d\w\w ever better than \d\w\w at full throttle\?", by_definition),
        (r"This bike has a single gear\. When do you change up\?", one_gear),
        (
            rf"From {NUMBER} rpm to {NUMBER} rpm: there \d\w\w accelerates as hard as \d\w\w\.",
            as_hard,
        ),
        (
            rf"From {NUMBER} rpm to {NUMBER} rpm: until then the clutch of (\d\w\w) would slip\.",
            clutch_slips,
        ),
        (rf"From {NUMBER} rpm to {NUMBER} rpm: grip or the front wheel is .*", at_the_limit),
        (rf"From {NUMBER} rpm to {NUMBER} rpm: \d\w\w accelerates harder up .*", at_the_limit),
        (r"\d\w\w never accelerates harder than \d\w\w here\.", never_taken),
        (r"A single gear has no shift point\.", one_gear),
        (r"Shift when the next gear accelerates as hard, or at the limit\.", rule_of_shifting),
        (r"Where both accelerate alike the lower gear still pulls harder: .*", more_rotating_mass),
        (r"The drop in revs is that of the gears, whatever the sprockets; .*", gaps_stay),
        (r"Past its peak torque falls, and at the limit the ignition cuts\.", torque_falls),
        (r"Change up where the next gear accelerates as hard, which .*", by_definition),
    ],
    8: [
        (
            rf"{ASKED}: at the rev limit \d\w\w runs {NUMBER} km/h\. How fast does the bike really "
            rf"go \({WHERE}\)\?",
            runs_at_the_limit,
        ),
        (rf"{ASKED}: does any gear hold a steady speed \({WHERE}\)\?", nothing_holds),
        (r"No gear holds a steady speed on this ground\.", nothing_holds),
        (r"The limit is (.*)\.", limit_said),
        (
            rf"With one front tooth more: {NUMBER} km/h"
            rf"(?:, though the rev limit would allow {NUMBER} km/h)?\.",
            taller_said,
        ),
        (r"With one front tooth more no gear holds a steady speed\.", taller_holds_none),
        (r"Revs, power or ground: find what limits top speed\.", by_definition),
        (
            rf"With one front tooth more, taller, the table promises {NUMBER} km/h more, {NUMBER} "
            r"km/h at the rev limit\.",
            table_promises,
        ),
        (r"Where power is the limit, (?:taller is faster )?only if it lets the .*", power_at_top),
        (r"Past that, top gear only lowers the revs\.", power_at_top),
        (r"At the power peak no gearing is faster; .*", power_at_top),
        (r"The table gives the speed at the rev limit\.", by_definition),
        (r"Drag, slope and ground decide whether the bike ever gets there\.", by_definition),
    ],
    9: [
        (r"The rear wheel moves up, from hanging to fully compressed\. .*", by_definition),
        (rf"Tightest after {NUMBER} mm of travel: .*in line\.", tightest_in_line),
        (r"Tightest (with the wheel hanging|fully compressed)\.", tightest_at_an_end),
        (r"The swingarm of this bike has not been measured\.", not_measured),
        (r"Slack changes with travel: set it as your manual says\.", slack_changes),
        (r"The chain is tightest where output shaft, pivot and axle are nearest .*", slack_changes),
        (r"Slack is set by the bike's own manual, .*", by_definition),
        (r"No figure of this lesson is a setting\.", by_definition),
        (
            r"Slack without its place and the state of the suspension says nothing: .*",
            slack_changes,
        ),
        (r"The loop is tightest where all three pins are in line\.", by_definition),
    ],
    10: [
        (rf"You need a top speed of {NUMBER} km/h \({WHERE}\)\. Which pair .*", speed_needed),
        (r"The best pairs are too close together .*", too_close),
        (rf"{PAIR}: {NUMBER} km/h, .*", pair_said),
        (r"Say what you need first: each gain costs something\.", each_gain_costs),
        (r"Let two pupils with different needs choose: both can be right\.", each_gain_costs),
        (r"Before any sprocket come clutch, tyre pressure and technique\.", by_definition),
        (r"Best compromises, on the line: (\d+) of (\d+) pairs\.", so_many_compromises),
        (r"What one of them gains in one it pays for in the other\.", each_gain_costs),
        (rf"(.+): {NUMBER} {BAND} km/h against fitted\.", against_fitted),
        (rf"(.+): 0 to {NUMBER} km/h against fitted\.", one_way_only),
        (rf"(.+): no real change \({NUMBER} {BAND} km/h\)\.", no_real_change),
        (r"Both gearings are on the same bike, so the difference .*", difference_is_known_better),
        (r"Which is right depends on what you need\.", by_definition),
        (
            rf"One per cent of roll-out is one per cent of speed at a given rpm: {NUMBER} km/h .*",
            roll_out_share,
        ),
        (r"A tyre size tells the roll-out no better than that\.", by_definition),
        (r"The clutch comes first: .*", by_definition),
        (r"Shorter gearing helps only after that\.", by_definition),
        (r"A size is a name\.|Load, pressure and wear change the roll-out by .*", by_definition),
        (r"Each step shorter costs speed at the rev limit\.", no_more_power),
        (r"“.*” is (?:a gap|a matter|taller) .*", by_definition),
    ],
    SMALL_FRONT: [
        (r"From (\d+) to (\d+) front teeth: by how many per cent does each link .*", bend_asked),
        (rf"{NUMBER}° become {NUMBER}°: chain and sprocket wear faster\.", bend_said),
        (r"The chain also runs nearer to its slider and guide\.", smaller_circle),
        (r"A small front sprocket is cheap to buy; the chain pays\.", bends_further),
        (r"A chain lies on a sprocket as a polygon: the fewer teeth, .*", less_even),
        (r"At the same pull of the tyre the chain is pulled no harder, .*", no_harder_pull),
    ],
    RUN: [
        (
            rf"{PAIR} and {PAIR} from rest, full throttle \({WHERE}\)\. Who is ahead after {NUMBER}"
            r" s\?",
            who_is_ahead,
        ),
        (rf"After {NUMBER} s: \d+/\d+ {NUMBER} m, \d+/\d+ {NUMBER} m\.", ran),
        (r"The louder run is not always the faster one\.", louder_not_faster),
        (r"Both start alike and change up at their own best points\.", start_alike),
        (r"Shorter gearing gains only where the engine is the limit, .*", by_definition),
    ],
    BICYCLE: [
        (r"A weight on the level pedal, a scale at the tyre's edge\..*", by_definition),
        (r"Less force at the tyre, more way for one pedal turn\.", less_at_the_tyre),
        (r"A gear trades force for distance and adds no power\.", less_at_the_tyre),
        (r"With the smaller rear sprocket less force at the tyre, and more .*", less_at_the_tyre),
        (r"A larger (?:one|rear sprocket) does the reverse\.", less_at_the_tyre),
    ],
    CHALLENGE: [
        (
            rf"{PAIR} at 70 km/h in top gear: {NUMBER} rpm\. You want less than {NUMBER} rpm .*",
            challenge_asked,
        ),
        (r"No single sprocket (?:is a challenge|does it) on this bike.*", no_challenge),
        (r"Enough: (.*)\.", enough),
        (rf"Price of {PAIR}: {NUMBER} % pull at the same rpm\.", its_price),
        (r"Say the speed and the revs: the ratio follows\.", by_definition),
    ],
    RECAP: [
        (r"On paper: one thing to remember, one change for your bike, its price\.", by_definition),
        (
            rf"{PAIR}: {NUMBER}\. One front tooth fewer: {NUMBER} % pull, as much as {NUMBER} rear "
            rf"teeth more\. One rear tooth more: {NUMBER} %\.",
            own_said,
        ),
        (r"Change one thing at a time, then measure\.", by_definition),
    ],
}

# Commands, questions back, and the wrong answers that are quoted to be put right.
NO_CLAIM = (
    r"(?:Common answer|Ask|Let|Work|Choose|Fit|Stop|Try|Collect|Set|Measure|Compare|Look|Turn|Move|"
    r"Follow|Make|Press|Say|Know|Change|Both bikes|Weight|Then|Which|How|What|Neutral|"
    r"With the engine|Each bar|Every point|The line climbs|A pupil's whole|So|Take)\b.*|.*\?"
)
