"""The kinds of quantity that the house reads and shows: their units, as people spell them.

Units are named in pint's words here; :mod:`explorer.units` converts between them.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Shown:
    """How a kind is shown in one system of units.

    Attributes:
        label: Unit as printed after the number.
        pint_unit: The same unit in pint's words.
        decimals: Most decimals that a readout shows.
    """

    label: str
    pint_unit: str
    decimals: int


@dataclass(frozen=True)
class Kind:
    """One kind of quantity.

    Attributes:
        noun: The kind inside a sentence, with its article.
        si: SI unit in pint's words.
        spellings: Unit in pint's words: the spellings that people type, without spaces, dots and
            signs.
        accepted: The usual spellings, for a sentence.
        example: What to type.
        within: Lowest and highest value that is not absurd.
        metric, imperial: How it is shown.
    """

    noun: str
    si: str
    spellings: dict[str, str]
    accepted: str
    example: str
    within: tuple[str, str]
    metric: Shown
    imperial: Shown


_LENGTHS = {
    "millimetre": "mm millimetre millimetres millimeter millimeters",
    "centimetre": "cm centimetre centimetres centimeter centimeters",
    "metre": "m metre metres meter meters",
    "inch": "in inch inches \" ''",
    "foot": "ft foot feet '",
}
_ROAD = {
    "metre": _LENGTHS["metre"],
    "kilometre": "km kilometre kilometres kilometer kilometers",
    "foot": "ft foot feet '",
    "yard": "yd yard yards",
    "mile": "mi mile miles",
}

KINDS: dict[str, Kind] = {
    "length": Kind(
        "a length",
        "metre",
        _LENGTHS,
        "mm, cm, m, in and ft",
        '"1380 mm" or "54 in"',
        ("-10 m", "10 m"),
        Shown("mm", "millimetre", 0),
        Shown("in", "inch", 1),
    ),
    "distance": Kind(
        "a distance",
        "metre",
        _ROAD,
        "m, km, ft, yd and mi",
        '"100 m" or "300 ft"',
        ("0 m", "1000 km"),
        Shown("m", "metre", 0),
        Shown("ft", "foot", 0),
    ),
    "altitude": Kind(
        "an altitude",
        "metre",
        _ROAD,
        "m, km and ft",
        '"800 m" or "2600 ft"',
        ("-450 m", "6000 m"),
        Shown("m", "metre", 0),
        Shown("ft", "foot", 0),
    ),
    "mass": Kind(
        "a mass",
        "kilogram",
        {
            "kilogram": "kg kgs kilo kilos kilogram kilograms kilogramme kilogrammes",
            "gram": "g gram grams gramme grammes",
            "pound": "lb lbs pound pounds",
        },
        "kg, g and lb",
        '"112 kg" or "247 lb"',
        ("0 kg", "2000 kg"),
        Shown("kg", "kilogram", 0),
        Shown("lb", "pound", 0),
    ),
    "torque": Kind(
        "a torque",
        "newton * metre",
        {
            "newton * metre": "nm newtonmetre newtonmetres newtonmeter newtonmeters",
            "pound_force * foot": "lbfft ftlbf lbft ftlb ftlbs lbsft poundfeet footpounds",
            "pound_force * inch": "lbfin inlbf lbin inlb inlbs",
            "kilogram_force * metre": "kgfm kgm mkg mkgf",
        },
        "N*m, lbf ft and kgf m",
        '"11.5 N*m" or "8.5 lbf ft"',
        ("-500 N*m", "500 N*m"),
        Shown("N·m", "newton * metre", 1),
        Shown("lbf·ft", "pound_force * foot", 1),
    ),
    "power": Kind(
        "a power",
        "watt",
        {
            "kilowatt": "kw kilowatt kilowatts",
            "watt": "w watt watts",
            "metric_horsepower": "ps metrichorsepower metrichp hp(metric) hpmetric cv ch pk",
            "horsepower": "hp bhp horsepower",
        },
        "kW, W, PS (metric horsepower, 735.5 W) and hp (mechanical horsepower, 745.7 W)",
        '"9.4 kW" or "12.6 hp"',
        ("0 W", "500 kW"),
        Shown("kW", "kilowatt", 1),
        Shown("hp", "horsepower", 1),
    ),
    "engine speed": Kind(
        "an engine speed",
        "radian / second",
        {
            "rpm": "rpm rev/min revs/min r/min 1/min /min min1 u/min "
            "revolutions/minute revolutionsperminute revspermin",
            "revolution / second": "rps rev/s revs/s r/s",
            "radian / second": "rad/s",
        },
        "rpm, rev/min, 1/min and rad/s",
        '"9500 rpm"',
        ("0 rpm", "25000 rpm"),
        Shown("rpm", "rpm", 0),
        Shown("rpm", "rpm", 0),
    ),
    "speed": Kind(
        "a speed",
        "metre / second",
        {
            "kilometre / hour": "km/h kmh kph kmph",
            "mile / hour": "mph mi/h mileperhour milesperhour",
            "metre / second": "m/s",
            "foot / second": "ft/s fps",
        },
        "km/h, mph, m/s and ft/s",
        '"60 km/h" or "37 mph"',
        ("-400 km/h", "400 km/h"),
        Shown("km/h", "kilometre / hour", 0),
        Shown("mph", "mile / hour", 0),
    ),
    "force": Kind(
        "a force",
        "newton",
        {
            "newton": "n newton newtons",
            "kilonewton": "kn",
            "pound_force": "lbf",
            "kilogram_force": "kgf kp",
        },
        "N, kN, lbf and kgf",
        '"850 N" or "190 lbf"',
        ("-50000 N", "50000 N"),
        Shown("N", "newton", 0),
        Shown("lbf", "pound_force", 0),
    ),
    "inertia": Kind(
        "a moment of inertia",
        "kilogram * metre ** 2",
        {
            "kilogram * metre ** 2": "kgm2",
            "kilogram * centimetre ** 2": "kgcm2",
            "gram * metre ** 2": "gm2",
            "gram * centimetre ** 2": "gcm2",
            "pound * foot ** 2": "lbft2",
            "pound * inch ** 2": "lbin2",
        },
        "kg*m^2, kg*cm^2, g*m^2, lb*ft^2 and lb*in^2",
        '"0.45 kg*m^2"',
        ("0 kg*m^2", "100 kg*m^2"),
        Shown("kg·m²", "kilogram * metre ** 2", 3),
        Shown("lb·ft²", "pound * foot ** 2", 2),
    ),
    "area": Kind(
        "an area",
        "metre ** 2",
        {
            "metre ** 2": "m2 sqm",
            "centimetre ** 2": "cm2 sqcm",
            "foot ** 2": "ft2 sqft",
            "inch ** 2": "in2 sqin",
        },
        "m^2, cm^2, ft^2 and in^2",
        '"0.60 m^2" or "6.5 ft^2"',
        ("0 m^2", "10 m^2"),
        Shown("m²", "metre ** 2", 2),
        Shown("ft²", "foot ** 2", 1),
    ),
    "angle": Kind(
        "an angle",
        "radian",
        {"degree": "° deg degree degrees", "radian": "rad radian radians"},
        "deg, ° and rad",
        '"12 deg"',
        ("-360 deg", "360 deg"),
        Shown("°", "degree", 1),
        Shown("°", "degree", 1),
    ),
    "slope": Kind(
        "a slope as rise over run",
        "dimensionless",
        {"percent": "% percent pct"},
        "%",
        '"12 %"',
        ("-100 %", "100 %"),
        Shown("%", "percent", 0),
        Shown("%", "percent", 0),
    ),
    "temperature": Kind(
        "a temperature",
        "kelvin",
        {"degC": "°c c oc degc celsius", "degF": "°f f of degf fahrenheit", "kelvin": "k kelvin"},
        "°C, °F and K",
        '"20 °C" or "68 °F"',
        ("-60 °C", "70 °C"),
        Shown("°C", "degC", 0),
        Shown("°F", "degF", 0),
    ),
    "pressure": Kind(
        "a pressure",
        "pascal",
        {
            "kilopascal": "kpa",
            "hectopascal": "hpa",
            "pascal": "pa",
            "millibar": "mbar",
            "bar": "bar bars",
            "psi": "psi lbf/in2",
            "inHg": "inhg",
            "mmHg": "mmhg",
        },
        "kPa, hPa, mbar, bar, psi, inHg and mmHg",
        '"80 kPa" or "12 psi"',
        ("0 Pa", "1000 kPa"),
        Shown("kPa", "kilopascal", 1),
        Shown("psi", "psi", 1),
    ),
    "ratio": Kind(
        "a share",
        "dimensionless",
        {"percent": "% percent pct", "dimensionless": ""},
        "% or a plain number",
        '"97 %" or "0.97"',
        ("-1000", "1000"),
        Shown("", "dimensionless", 2),
        Shown("", "dimensionless", 2),
    ),
    "share": Kind(
        "a share",
        "dimensionless",
        {"percent": "% percent pct", "dimensionless": ""},
        "% or a plain number",
        '"40 %" or "0.4"',
        ("-1000", "1000"),
        Shown("%", "percent", 0),
        Shown("%", "percent", 0),
    ),
    "time": Kind(
        "a time",
        "second",
        {
            "second": "s sec secs second seconds",
            "millisecond": "ms",
            "minute": "min minute minutes",
        },
        "s, ms and min",
        '"0.25 s"',
        ("0 s", "600 min"),
        Shown("s", "second", 1),
        Shown("s", "second", 1),
    ),
    "energy": Kind(
        "an energy",
        "joule",
        {"joule": "j joule joules", "kilojoule": "kj", "foot * pound_force": "ftlbf ftlb"},
        "J, kJ and ft lbf",
        '"12 kJ"',
        ("0 J", "100000 kJ"),
        Shown("kJ", "kilojoule", 1),
        Shown("ft·lbf", "foot * pound_force", 0),
    ),
}
"""Every kind of quantity that the house reads or shows, by its name."""
