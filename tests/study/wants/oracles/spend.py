"""A bill: the prices of the parts that the fitting page lists, added up."""

from decimal import Decimal

from explorer.study.wants.wants_chain import parts_of_pair


def margin(want, pair, measured, chains=None, index=0, prices=None):
    choice, links = int(chains.choice[index]), float(chains.links[index])
    listed = parts_of_pair(pair.bike, measured, pair.front, pair.rear, choice, links)
    needed = [part for part in listed.buy if not part.optional]
    bill = sum((part.quantity * prices[part.id] for part in needed), Decimal(0))
    return float(want.amount - bill)


def tolerance(want, limiter):
    return max(1.0, float(want.amount) / 10)


def texts(rng, gears):
    return {"amount": f"{rng.uniform(10, 120):.2f}"}
