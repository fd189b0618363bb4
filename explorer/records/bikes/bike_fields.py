"""Every field of a bike: where it stands in the file, what it means, what may be left out.

The one table from which the bike file is read, the form is built and the sentences are made.
"""

from explorer.calc.engine.power_correction import REFERENCE_AIRS
from explorer.records.bikes.measured_fields import MEASURED_FIELDS
from explorer.records.bikes.torque_curve import EXAMPLE as CURVE_EXAMPLE
from explorer.records.fields import Field
from explorer.records.ground.surfaces import TYRE_KINDS
from explorer.records.setups.sprocket_pair import FRONT_TEETH, REAR_TEETH

PROVENANCES = ("invented", "measured")
TORQUE_PLACES = ("crankshaft", "rear wheel")
FIRINGS = {
    "four-stroke single": 0.5,
    "four-stroke twin": 1.0,
    "two-stroke single": 1.0,
    "two-stroke twin": 2.0,
}
"""Kinds of engine, and how often each fires per turn of the crank [-]."""
PICKUPS = ("gearbox", "front wheel", "rear wheel", "unknown")

FIELDS: tuple[Field, ...] = (
    Field("name", "Name", "name", "What you call the bike.", '"Trail bike"', required=True),
    Field("provenance", "Where the numbers come from", "choice",
          "Measured on a real bike, or invented.", '"measured"', choices=PROVENANCES,
          default="measured", why="nobody said that it was invented"),
    Field("begun", "Only begun", "choice",
          "Yes while numbers of the bike are still missing: what hangs on them is asked for.",
          '"yes"', choices=("no", "yes"), default="no", why="a bike file is complete"),
    Field("note", "Note", "note", "Anything worth remembering about these numbers.",
          '"weighed with a full tank"'),
    Field("engine.kind", "Engine type", "choice", "Only the engine's note needs it.",
          '"two-stroke single"', choices=tuple(FIRINGS), default="four-stroke single",
          why="what most trail bikes have"),
    Field("engine.idle", "Idle speed", "engine speed", "Engine speed at idle, warm.", '"1400 rpm"',
          within=("500 rpm", "4000 rpm"), default="1500 rpm",
          why="common practice for a small single, 1300 to 1800 rpm; no source"),
    Field("engine.rev_limit", "Rev limit", "engine speed",
          "Engine speed at which the ignition cuts.", '"9500 rpm"',
          within=("3000 rpm", "20000 rpm"), required=True),
    Field("engine.launch", "Launch engine speed", "engine speed",
          "Engine speed that the clutch holds while you pull away.", '"5000 rpm"',
          within=("800 rpm", "18000 rpm"), default="halfway between idle and the rev limit",
          why="a rule of ours; riders differ widely"),
    Field("engine.inertia", "Engine inertia", "inertia",
          "Crankshaft, flywheel and clutch, at crankshaft speed.", '"0.010 kg*m^2"',
          within=("0.0005 kg*m^2", "0.1 kg*m^2"), default="0.010 kg·m²",
          why="an assumption for crankshaft, flywheel and clutch of a single; nothing published "
              "was found for off-road motorcycles"),
    Field("engine.torque_curve", "Torque curve", "curve",
          "Torque at full throttle over engine speed, from idle to the rev limit; left out, it is "
          "shaped from the peak.", CURVE_EXAMPLE),
    Field("engine.peak", "Peak power or torque", "peak",
          "The largest power or torque and the engine speed that goes with it; only used without "
          "a torque curve.", '"11 kW at 9000 rpm" or "12 N*m at 7000 rpm"'),
    Field("engine.torque_at", "Where the torque was measured", "choice",
          "A chassis bench measures at the rear wheel; what is lost on the way is added back.",
          '"crankshaft"', choices=TORQUE_PLACES, default="crankshaft", why="what makers print"),
    Field("engine.curve_air", "Air of the torque curve", "choice",
          "The correction named on the bench's printout.", '"SAE J1349"',
          choices=tuple(REFERENCE_AIRS), default="SAE J1349",
          why="most benches correct to it; another reference shifts power by 1 to 5 %"),
    Field("engine.motoring_curve", "Engine braking curve", "curve",
          "Torque with which the engine brakes at closed throttle, as positive numbers.",
          '"1400 rpm: 1.5 N*m; 9500 rpm: 3 N*m"'),
    Field("gearbox.primary", "Primary reduction", "reduction",
          "Crankshaft to clutch, as a ratio or as teeth; the bike's manual has it.",
          '"3.35" or "67/20"', within=("1", "6"), required=True),
    Field("gearbox.ratios", "Gear ratios", "ratios",
          "First gear first, 1 to 7 of them, as ratios or as teeth.",
          '"2.83, 1.88, 1.42, 1.14, 0.87"', within=("0.4", "6"), required=True),
    Field("gearbox.shift_time", "Shift time", "time", "Time without drive at each upshift.",
          '"0.25 s"', within=("0 s", "3 s"), default="0.25 s",
          why="an assumption; time yours on a video"),
    Field("chain.size", "Chain size", "chain size", "Number stamped on the side plates.", '"520"',
          required=True),
    Field("chain.links", "Links", "links",
          "Links of the fitted chain, joining link included; count them.", '"114"',
          within=(60, 180)),
    Field("sprockets.front", "Front sprocket", "teeth", "Teeth of the fitted front sprocket.",
          '"13"', within=FRONT_TEETH, required=True),
    Field("sprockets.rear", "Rear sprocket", "teeth", "Teeth of the fitted rear sprocket.", '"48"',
          within=REAR_TEETH, required=True),
    Field("sprockets.front_sold", "Front sprockets sold", "teeth range",
          "Smallest and largest front sprocket to be had for this bike.", '"12 to 15"',
          within=FRONT_TEETH, default="up to 2 teeth either side of the fitted one",
          why="ask your dealer which are sold"),
    Field("sprockets.rear_sold", "Rear sprockets sold", "teeth range",
          "Smallest and largest rear sprocket to be had for this bike.", '"44 to 53"',
          within=REAR_TEETH, default="up to 6 teeth either side of the fitted one",
          why="ask your dealer which are sold"),
    Field("tyre.rear", "Rear tyre", "tyre", "Size on the sidewall.", '"110/100-18"',
          required=True),
    Field("tyre.rollout", "Measured roll-out", "length",
          "Way of the rear wheel in one turn, rider aboard, at riding pressure; wins over the "
          "size.", '"2.03 m" or "80 in"', within=("0.8 m", "2.8 m")),
    Field("tyre.kind", "Rear tread", "choice",
          "Knobbly, trail (blocks with grooves) or road.", '"knobbly"', choices=TYRE_KINDS,
          default="knobbly",
          why="what off-road motorcycles usually come on; common practice"),
    Field("tyre.front", "Front tyre", "tyre", "Size on the sidewall.", '"80/100-21"',
          default="80/100-21", why="the usual full-size off-road front; common practice"),
    Field("mass.bike", "Bike, ready to ride", "mass", "Weighed with fuel, oil and coolant.",
          '"112 kg" or "247 lb"', within=("30 kg", "400 kg"), required=True),
    Field("mass.rider", "Rider with kit", "mass", "Weighed in boots and helmet.",
          '"80 kg" or "176 lb"', within=("20 kg", "200 kg"), default="85 kg",
          why="an adult in kit; weigh yourself, 60 to 110 kg is usual"),
    Field("chassis.wheelbase", "Wheelbase", "length", "Axle to axle.", '"1380 mm" or "54 in"',
          within=("0.8 m", "1.9 m"), default="1380 mm",
          why="a full-size off-road bike; 1250 to 1500 mm is usual, common practice, no source"),
    Field("chassis.cg_ahead", "Centre of gravity ahead of the rear axle", "length",
          "Rider seated: wheelbase times the share of the mass on the front wheel.",
          '"650 mm" or "26 in"', within=("0.2 m", "1.4 m"), default="650 mm",
          why="47 % of the weight in front with the assumed wheelbase; 600 to 720 mm is usual"),
    Field("chassis.cg_height", "Height of the centre of gravity", "length",
          "Above the ground, rider seated; an estimate will do.", '"800 mm" or "31 in"',
          within=("0.3 m", "1.4 m"), default="850 mm",
          why="an estimate with the rider seated; 750 to 950 mm is usual"),
    Field("chassis.front_wheel_inertia", "Front wheel inertia", "inertia",
          "Wheel with its tyre, about the axle.", '"0.45 kg*m^2"',
          within=("0.02 kg*m^2", "2 kg*m^2"), default="0.45 kg·m²",
          why="an estimate: 5 kg of tyre and rim 0.3 m from the axle"),
    Field("chassis.rear_wheel_inertia", "Rear wheel inertia", "inertia",
          "Wheel with its tyre and sprocket, about the axle.", '"0.55 kg*m^2"',
          within=("0.02 kg*m^2", "2 kg*m^2"), default="0.55 kg·m²",
          why="an estimate: 6.5 kg of tyre, rim and sprocket 0.29 m from the axle"),
    Field("air.drag_area", "Drag area", "area",
          "Drag coefficient times frontal area, with the rider as he sits.",
          '"0.60 m^2" or "6.5 ft^2"', within=("0.1 m^2", "1.5 m^2"), default="0.60 m²",
          why="an assumption; no published figure was found for an off-road motorcycle with an "
              "upright rider. 0.3 to 0.5 m² is printed for various motorcycles (Katz, "
              "Automotive Aerodynamics, p. 302), up to 0.7 m² quoted from Cossalter, Motorcycle "
              "Dynamics"),
    Field("efficiency.primary", "Efficiency of the primary drive", "ratio",
          "Share of the power that it passes on.", '"98 %" or "0.98"', within=("50 %", "100 %"),
          default="98 %",
          why="an assumption below the 99.0 to 99.8 % of one gear pair (Joachim, Börner and "
              "Kurz, Gear Technology, September 2012, Fig. 2), for the clutch runs in oil"),
    Field("efficiency.gearbox", "Efficiency of the gearbox", "ratio",
          "Share of the power that it passes on.", '"97 %" or "0.97"', within=("50 %", "100 %"),
          default="97 %",
          why="the upper end of 92 to 97 % for a splash-lubricated manual gearbox (Joachim, "
              "Börner and Kurz, Gear Technology, September 2012, Fig. 2)"),
    Field("efficiency.chain", "Efficiency of the chain", "ratio",
          "Share of the power that it passes on.", '"97 %" or "0.97"', within=("50 %", "100 %"),
          default="97 %",
          why="an assumption; an encyclopedia gives above 98 % for a lubricated roller chain, "
              "and dirt costs some"),
    Field("speedometer.pickup", "Speedometer pickup", "choice",
          "Where the speedometer takes its speed from.", '"front wheel"', choices=PICKUPS,
          default="unknown", why="nothing is assumed until you look"),
    *MEASURED_FIELDS,
)  # fmt: skip
"""Every field, in the order of the file and of the form."""

FIELD_AT: dict[str, Field] = {field.name: field for field in FIELDS}
"""The fields by their path."""

DEFAULTS: dict[str, Field] = {field.name: field for field in FIELDS if field.default}
"""Those that may be left out and are then assumed, with the reason shown to the reader."""
