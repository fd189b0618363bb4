"""Demo rides of the bike in use, so that the page can be tried without a log."""

import numpy as np

from explorer.calc.drivetrain.chain_losses import with_sprockets
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.gearing import final_ratio
from explorer.records.bikes.bike import Bike
from explorer.records.rides.demo_ride import csv_demo_ride, gpx_demo_ride
from explorer.records.setups.setup import Setup, both_rollouts
from explorer.study.question import conditions_of, vehicle_of
from explorer.study.study import FITTED

LOGGER, PHONE, SURPRISE = "logger", "phone", "surprise"
DEMOS = (
    ("Logger with engine speed", LOGGER),
    ("Phone, positions only", PHONE),
    ("Logger, not the sprocket of the bike file", SURPRISE),
)
_SEED = 20310504


def demo_file(bike: Bike, setup: Setup, kind: str) -> tuple[str, bytes, int]:
    """Name and content of a demo ride, and the gearing it was ridden with: the fitted one on level
    ground, in the weather of the set-up; `SURPRISE` has one front tooth fewer than the bike file
    says."""
    conditions, _ = conditions_of(setup.changed(slope=0.0, head_wind=0.0))
    front = bike.sprockets.front - (kind == SURPRISE)
    rear = bike.sprockets.rear
    drive = Drive(
        with_sprockets(vehicle_of(bike, setup), front, rear),
        conditions,
        np.array([final_ratio(front, rear)]),
        both_rollouts(bike, setup)[FITTED].value,
    )
    if kind == PHONE:
        return "demo-ride.gpx", gpx_demo_ride(drive, _SEED), FITTED
    return "demo-ride.csv", csv_demo_ride(drive, _SEED), FITTED
