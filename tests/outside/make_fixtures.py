"""Makes the JSON files beside this script from libraries that know nothing of this program.

    pip install pint ambiance scipy
    python3 make_fixtures.py

The figures are rounded to 12 digits, so that another machine makes the same files.
"""

import json
from pathlib import Path

import numpy
import pint
from ambiance import Atmosphere
from scipy import signal, stats

HERE = Path(__file__).parent


def rounded(number):
    """Twelve digits: more than any of the tests asks for, fewer than machines disagree about."""
    return float(f"{float(number):.12g}")


def save(name, content):
    text = json.dumps(content, indent=1, ensure_ascii=False)
    (HERE / name).write_text(text + "\n", encoding="utf-8")


def air():
    """Pressure over sea-level pressure, US Standard Atmosphere 1976, up to 11 km.

    The program's formula takes geopotential metres, the library geometric ones; the difference is
    5 m at 5500 m. Both are given, so both can be tested.
    """
    sea = Atmosphere(0).pressure[0]
    rows = []
    for metres in range(0, 11001, 250):
        geometric = Atmosphere.geop2geom_height(float(metres))
        rows.append(
            {
                "metres": metres,
                "ratio": rounded(Atmosphere(geometric).pressure[0] / sea),
                "ratio_geometric": rounded(Atmosphere(metres).pressure[0] / sea),
            }
        )
    return rows


UNITS = {
    "length": {"in": "inch", "ft": "foot", "cm": "centimeter", "mm": "millimeter", "m": "meter"},
    "pressure": {
        "psi": "pound_force_per_square_inch",
        "kPa": "kilopascal",
        "bar": "bar",
        "kg/cm2": "kilogram_force / centimeter ** 2",
    },
    "power": {"hp": "horsepower", "kW": "kilowatt", "PS": "metric_horsepower"},
    "mass": {"lb": "pound", "kg": "kilogram"},
    "speed": {"mph": "mile / hour", "kn": "knot", "km/h": "kilometer / hour"},
    "temperature": {"F": "degF", "C": "degC"},
    "time": {"h": "hour", "min": "minute", "s": "second"},
}
NUMBERS = [0.5, 1, 12.65, 20, 115, 150, 1034.2]


def units():
    """Every unit in every other unit of its dimension."""
    registry = pint.UnitRegistry()
    rows = []
    for dimension, names in UNITS.items():
        for symbol, name in names.items():
            for other, other_name in names.items():
                if other == symbol:
                    continue
                for number in NUMBERS:
                    there = registry.Quantity(number, registry(name).units).to(other_name)
                    rows.append(
                        {
                            "dimension": dimension,
                            "text": f"{number} {symbol}",
                            "unit": other,
                            "number": rounded(there.magnitude),
                        }
                    )
    return rows


def beta_pert(low, likely, high):
    """The beta-PERT of Malcolm and others (1959) with the weight of 4 on the likely value."""
    width = high - low
    alpha = 1 + 4 * (likely - low) / width
    beta = 1 + 4 * (high - likely) / width
    return stats.beta(alpha, beta, loc=low, scale=width)


def pert():
    rows = []
    for low, likely, high in [(1, 4, 13), (100, 300, 900), (0, 0, 6)]:
        size = beta_pert(low, likely, high)
        points = [low + (high - low) * part for part in (0.05, 0.2, 0.35, 0.5, 0.65, 0.8, 0.95)]
        rows.append(
            {
                "low": low,
                "likely": likely,
                "high": high,
                "mean": rounded(size.mean()),
                "variance": rounded(size.var()),
                "quantiles": [
                    {"share": share, "at": rounded(size.ppf(share))}
                    for share in (0.01, 0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95, 0.99)
                ],
                "cdf": [{"at": rounded(at), "share": rounded(size.cdf(at))} for at in points],
            }
        )
    return rows


TOTALS = {
    "six items, one of them sure": [
        (1.0, 70, 120, 190),
        (0.5, 150, 265, 480),
        (0.12, 260, 430, 680),
        (0.3, 245, 580, 1360),
        (0.08, 2570, 4300, 6960),
        (0.4, 105, 220, 440),
    ],
    "six items, most likely none of them": [
        (0.05, 100, 300, 900),
        (0.1, 40, 60, 90),
        (0.02, 2000, 3200, 5200),
        (0.08, 0, 20, 60),
        (0.15, 60, 60, 250),
        (0.04, 350, 600, 600),
    ],
}
STEP = 0.05


def cells(probability, low, likely, high):
    """The chance of each cell of the grid: the cost of one item that may not be needed at all."""
    size = beta_pert(low, likely, high)
    edges = numpy.arange(int(round(high / STEP)) + 2) * STEP - STEP / 2
    chances = probability * numpy.diff(size.cdf(edges))
    chances[0] += 1 - probability
    return chances


def total(items):
    """Sum of independent items: mean and variance exact, quantiles from a grid of 5 cents."""
    chances = numpy.ones(1)
    mean = variance = 0.0
    for probability, low, likely, high in items:
        chances = numpy.maximum(signal.fftconvolve(chances, cells(probability, low, likely, high)), 0)
        size = beta_pert(low, likely, high)
        mean += probability * size.mean()
        second = probability * (size.var() + size.mean() ** 2)
        variance += second - (probability * size.mean()) ** 2
    cumulated = numpy.cumsum(chances) / chances.sum()
    quantile = lambda share: rounded(numpy.searchsorted(cumulated, share) * STEP)
    return {
        "mean": rounded(mean),
        "variance": rounded(variance),
        "p10": quantile(0.1),
        "p50": quantile(0.5),
        "p90": quantile(0.9),
    }


def statistics():
    return [
        {
            "name": name,
            "items": [
                {"chance": chance, "low": low, "likely": likely, "high": high}
                for chance, low, likely, high in items
            ],
            "total": total(items),
        }
        for name, items in TOTALS.items()
    ]


NETS = [
    ("in good order", "six items, most likely none of them", [3690, 3870, 3600], 120),
    ("repairs to come", "six items, one of them sure", [3780], 640),
    ("hardly more than parts", "six items, one of them sure", [1350, 990], 150),
]


def nets():
    """Value less cost, upkeep added back, never under a fifth of the value; value and cost independent."""
    rows = []
    for name, costs, values, upkeep in NETS:
        chances = numpy.ones(1)
        for item in TOTALS[costs]:
            chances = numpy.maximum(signal.fftconvolve(chances, cells(*item)), 0)
        chances /= chances.sum()
        cost = numpy.arange(len(chances)) * STEP
        worth = numpy.concatenate([numpy.maximum(value - cost + upkeep, value / 5) for value in values])
        weights = numpy.tile(chances / len(values), len(values))
        order = numpy.argsort(worth)
        cumulated = numpy.cumsum(weights[order])
        quantile = lambda share: rounded(worth[order][numpy.searchsorted(cumulated, share)])
        floor = sum(chances[value - cost + upkeep <= value / 5].sum() for value in values) / len(values)
        rows.append(
            {
                "name": name,
                "items": [dict(zip(("chance", "low", "likely", "high"), item)) for item in TOTALS[costs]],
                "values": values,
                "upkeep": upkeep,
                "mean": rounded((worth * weights).sum()),
                "floor": rounded(floor),
                "p10": quantile(0.1),
                "p25": quantile(0.25),
                "p90": quantile(0.9),
            }
        )
    return rows


if __name__ == "__main__":
    save("nets.json", nets())
    save("air.json", air())
    save("units.json", units())
    save("pert.json", pert())
    save("statistics.json", statistics())
