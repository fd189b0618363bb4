"""Fields of a bike that somebody measured: around chain and swingarm, and by a ride."""

from explorer.records.fields import Field
from explorer.records.typed_text import DATE_EXAMPLE

MEASURED_FIELDS: tuple[Field, ...] = (
    Field("fit.centre_distance", "Centre distance", "length",
          "Output shaft centre to rear axle centre, chain taut.", '"632 mm" or "24.9 in"',
          within=("250 mm", "900 mm")),
    Field("fit.adjuster_forward", "Adjuster room forward", "length",
          "How far the axle can still go forward from where it is.", '"10 mm"',
          within=("0 mm", "150 mm")),
    Field("fit.adjuster_back", "Adjuster room to the rear", "length",
          "How far the axle can still go to the rear from where it is.", '"25 mm"',
          within=("0 mm", "150 mm")),
    Field("fit.swingarm_length", "Swingarm length", "length",
          "Swingarm pivot centre to rear axle centre.", '"560 mm" or "22 in"',
          within=("250 mm", "800 mm")),
    Field("fit.shaft_ahead", "Output shaft ahead of the pivot", "length",
          "Level distance from the swingarm pivot forward to the output shaft.", '"75 mm"',
          within=("-50 mm", "250 mm")),
    Field("fit.shaft_above", "Output shaft above the pivot", "length",
          "Upright distance, negative if the output shaft is lower than the pivot.", '"10 mm"',
          within=("-150 mm", "150 mm")),
    Field("fit.axle_below", "Rear axle below the pivot, wheel hanging", "length",
          "Upright distance with the rear wheel off the ground.", '"190 mm"',
          within=("-100 mm", "500 mm")),
    Field("fit.wheel_travel", "Rear wheel travel", "length",
          "Upright way of the rear axle from hanging to fully compressed.",
          '"290 mm" or "11.4 in"', within=("20 mm", "450 mm")),
    Field("calibration.date", "Calibrated on", "date",
          "Day of the ride that drag and power were fitted to.", f'"{DATE_EXAMPLE}"'),
    Field("calibration.ride", "Calibrated from", "name", "The ride: its file, or what was typed.",
          '"two coast-downs each way, typed"'),
    Field("calibration.values", "Calibrated values", "note",
          "Which values of this file come from that ride, and how sure they are.",
          '"drag area 0.52 ± 0.03 m²"'),
)  # fmt: skip
