"""Gearing, engine, motion, chain, tyre, course and ride: pure functions on SI floats and arrays.

What many functions take is said here, what those of one package or module take in its own
docstring; a function says only what is its own, or what it takes otherwise. The examples have the
functions of :mod:`explorer.calc.example` at hand, beside what their module imports.

Args:
    vehicle: The motorcycle with its rider [SI].
    conditions: Ground and air [SI].
    final_ratio (float or array (cases,)): Final drive ratio, rear over front teeth [-].
    rollout (float or array, positive): Roll-out of the rear tyre [m].
    drive: Vehicle, conditions and final drive ratios [SI].
    top: Top speeds of the same drive [m/s].
    shifts: Where each gear is left [m/s].
    at_engine_speed: Change up at this engine speed instead of at the best one [rad/s].
    gear (int): Index of the gear, 0 for first [-].
    road_speed (float or array): Road speed [m/s].
    engine_speed (float or array): Engine speed [rad/s].
    front (int or array, 3 or more): Teeth of the front sprocket [count].
    rear (int or array, 3 or more): Teeth of the rear sprocket [count].
    teeth (int or array, 3 or more): Teeth of the sprocket [count].
    pitch (float or array, positive): Pitch of the chain [m].
    links (int or array, positive): Links of the chain [count].
    overall_ratio (float or array, positive): Engine turns for one turn of the rear wheel [-].
    wheelbase (float or array, positive): Distance between the axles [m].
"""
