"""The judgement's money, worked out again with numpy from the question data and the arithmetic alone.

    pip install numpy scipy
    cargo build
    python3 recompute.py ../../target/debug/skeg [--random 300] [--seed 1] [--keep DIR] [FILE ...]

Each FILE is an answers file; without one, all of examples/ and tests/cases/ are taken. Every interview is replayed by
the program; from its JSON only the answers on the path, the measures and the names of the findings that fired are
read. Chances, costs, their distribution, ordinary upkeep, value, offers, hinge, write-off, waterfall, the workshop's
look and the ranges are worked out here and held against what the program printed. Ends with status 1 on a difference.
"""

import argparse
import itertools
import json
import math
import random
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy
from scipy import stats

ROOT = Path(__file__).resolve().parents[2]
FACTOR = {"hint": 2, "fair": 4, "strong": 12, "near-proof": 50, "seen": 50}
YES, NO, UNKNOWN = 1, -1, 0
# Median life in years by power up to, NONROAD, read.
LIFE = [(6, 26.55), (11, 26.14), (16, 24.22), (25, 22.17), (40, 20.25), (50, 19.16), (100, 17.24), (175, 14.78), (300, 13.27)]
# What a measure can't do without, as far as good signs and priors use it.
NEEDS = {"compression-state": ["compression"], "all-low": ["compression"], "low-together": ["compression"],
         "low-steam": ["compression"], "low-blistered": ["compression"], "leakdown": ["leakdown"], "charge": ["volts-running"],
         "charge-rise": ["volts-rest", "volts-running"], "revs-short": ["full-revs", "rated-from", "rated-to"],
         "revs-in-band": ["full-revs", "rated-from", "rated-to"],
         "prop-slip": ["full-revs", "gear-ratio", "prop-pitch", "gps-speed"]}
UNITS = {"hp": 1, "kw": 1.34102209, "h": 1, "v": 1, "in": 1, "mm": 1 / 25.4, "cm": 1 / 2.54, "m": 1 / 0.0254, "ft": 12,
         "psi": 1, "bar": 14.5037738, "kpa": 0.145037738, "%": 0.01, "min": 1 / 60, "rpm": 1, "mph": 1, "": 1}


class Data:
    """The question data."""

    def __init__(self, folder):
        self.questions, self.findings = {}, []
        for file in sorted(folder.glob("[0-9]*.json")):
            stage = json.loads(file.read_text())
            for question in stage["questions"]:
                self.questions[question["id"]] = question
            self.findings += stage["findings"]
        self.by_id = {finding["id"]: finding for finding in self.findings}
        self.faults = json.loads((folder / "faults.json").read_text())["faults"]
        costs = json.loads((folder / "costs.json").read_text())
        self.items, self.settings = costs["items"], costs["settings"]
        self.item = {item["id"]: item for item in self.items}

    def choices(self, question):
        (kind, body), = self.questions[question]["kind"].items()
        return kind, [choice["id"] for choice in body] if kind in ("one", "many", "each") else []


def amount(text):
    """A typed amount as a number in the house unit, where it is one."""
    match = re.match(r"^\s*(-?[\d.]+)(?:\s+(\d+)/(\d+))?\s*([^\d\s]*)", text)
    if not match:
        return None
    number = float(match[1]) + (int(match[2]) / int(match[3]) if match[2] else 0)
    return number * UNITS.get(match[4].lower(), 1)


class View:
    """Answers that count, each a list of choices or a text; what is off the path is a no or unknown."""

    def __init__(self, data, values, off, measures):
        self.data, self.values, self.off, self.measures = data, values, off, measures

    def seen(self, name):
        """Whether the answer counts as having looked."""
        question = self.data.questions[name]
        if "seen-also" in question and self.holds(question["seen-also"]) == YES:
            return True
        value = self.values.get(name)
        if value is None:
            return False
        (_, body), = question["kind"].items()
        blind = {choice["id"] for choice in body if choice.get("unseen")} if isinstance(value, list) else set()
        picked = value if isinstance(value, list) else []
        return not blind & set(picked) and ("seen-only" not in question or self.holds(question["seen-only"]) == YES)

    def holds(self, when):
        if when is None:
            return YES
        if "all" in when:
            return min((self.holds(part) for part in when["all"]), default=YES)
        if "any" in when:
            return max((self.holds(part) for part in when["any"]), default=NO)
        if "not" in when:
            return -self.holds(when["not"])
        return self.measure(when) if "measure" in when else self.answer(when)

    def answer(self, when):
        name = when["answer"]
        value = self.values.get(name)
        if "answered" in when:
            return YES if (value is not None) == when["answered"] else NO
        if value is None:
            return NO if self.off.get(name) == "no" else UNKNOWN
        test = lambda yes: YES if yes else NO
        picked = value if isinstance(value, list) else [value]
        if "is" in when:
            return test(picked == [when["is"]])
        if "any-of" in when:
            return test(picked[0] in when["any-of"])
        if "has" in when:
            return test(any(one in when["has"] for one in picked))
        if "only" in when:
            return test(all(one in when["only"] for one in picked))
        bound = "at-least" if "at-least" in when else "at-most"
        number, limit = amount(str(value)), amount(when[bound])
        if number is None:
            return UNKNOWN
        return test(number >= limit - 1e-9 if bound == "at-least" else number <= limit + 1e-9)

    def measure(self, when):
        name = when["measure"]
        if any(self.off.get(need) == "no" for need in NEEDS.get(name, [])):
            return NO
        value = self.measures.get(name)
        if value is None:
            return UNKNOWN
        test = lambda yes: YES if yes else NO
        if isinstance(value, str):
            return test(value in when.get("any-of", [when.get("is")]))
        return test(value > when["above"]) if "above" in when else test(value < when["below"])


def bare_view(data, view):
    """Only what the motor is; every question may still be asked unless the motor forbids it."""
    bare = View(data, {}, {}, {})
    for name, question in data.questions.items():
        above = question.get("follows")
        asked = min(YES if above is None else {"no": NO, "may": UNKNOWN}.get(bare.off.get(above), YES),
                    bare.holds(question.get("when")))
        if asked != YES:
            bare.off[name] = "no" if asked == NO else "may"
        elif question.get("motor") and name in view.values:
            bare.values[name] = view.values[name]
    return bare


def reads(when):
    """The questions a condition can't do without."""
    if isinstance(when, list):
        return [name for part in when for name in reads(part)]
    if "answer" in when:
        return [when["answer"]]
    if "measure" in when:
        return NEEDS.get(when["measure"], [])
    return [name for part in when.values() for name in reads(part if isinstance(part, list) else [part])]


class Interview:
    """One interview as the program printed it."""

    def __init__(self, data, printed):
        self.data, self.printed = data, printed
        values, on = {}, set()
        self.steps = [step["id"] for step in printed["path"]]
        for step in printed["path"]:
            on.add(step["id"])
            if step["value"] is not None:
                kind, choices = data.choices(step["id"])
                text = step["value"]
                values[step["id"]] = re.split(r"[,\s]+", text) if choices else text
        self.measures = {name: measure["value"] for name, measure in printed["measures"].items()}
        self.view = View(data, values, {}, self.measures)
        # Off the path: a no where the motor or other answers forbid it, else it may still come.
        for name, question in data.questions.items():
            if name not in on:
                above = question.get("follows")
                asked = min(YES if above is None else (YES if above in on else {"no": NO}.get(self.view.off.get(above), UNKNOWN)),
                            self.view.holds(question.get("when")))
                self.view.off[name] = "no" if asked == NO else "may"
        self.read = lambda name: amount(values[name]) if name in values else None
        self.values = values
        self.bare = bare_view(data, self.view)
        self.good = [finding for finding in data.findings
                     if finding["grade"] == "good" and self.bare.holds(finding["when"]) != NO]
        self.fired = [data.by_id[finding["id"]] for finding in printed["findings"]]
        self.by_age, self.wear = self.wears()
        self.set_terms()

    def money(self, name):
        text = self.values.get(name)
        return None if text is None else float(text)

    def wears(self):
        power, age, hours = self.read("claimed-power"), self.measures.get("age"), self.read("hours")
        if power is None:
            return 1.0, 1.0
        half = next((life for up_to, life in LIFE if power <= up_to + 1e-9), LIFE[-1][1]) / 2
        held = lambda ratios: min(max(max(ratios), 0.5), 2.0) if ratios else 1.0
        years = [] if age is None else [age / half]
        return held(years), held(years + ([] if hours is None else [hours / (100 * half)]))

    def set_terms(self):
        settings, power = self.data.settings, self.read("claimed-power")
        ends = [amount(settings[name]) for name in ("power-small", "power-middle", "power-large")]
        self.klass = 1 if power is None else sum(power > end for end in ends)
        currency = self.values.get("currency", "$").lower().replace(" ", "").replace(".", "")
        dollars = currency in ("$", "us$", "usd", "dollar", "dollars", "usdollar", "usdollars")
        scale = self.read("parts-scale") if "currency" not in self.values or not dollars else None
        self.priced = dollars or scale is not None
        self.scale = 1.0 if scale is None else scale / 100 if scale >= 10 else scale
        rate = self.money("labour-rate")
        self.rate = settings["rate"] * self.scale if rate is None else rate
        self.salt = self.view.holds(settings["salt"]) == YES

    def size(self, item):
        names = ["small", "middle", "large", "very-large"]
        spread = None
        for place in range(self.klass, 4):
            spread = item.get(names[place])
            if spread is None and names[place] == "very-large" and "large" in item:
                more = self.data.settings["very-large"]
                spread = {"parts": [x * more["parts"] for x in item["large"]["parts"]],
                          "hours": [x * more["hours"] for x in item["large"]["hours"]]}
            if spread:
                break
        if not spread:
            return None
        dear = item.get("dearer")
        more = dear["parts"] if dear and self.view.holds(dear["when"]) == YES else [1, 1, 1]
        hours = [1, 1, self.data.settings["salt-hours"] if self.salt else 1]
        return [spread["parts"][k] * more[k] * self.scale + spread["hours"][k] * hours[k] * self.rate for k in range(3)]

    def words(self, finding, view):
        for case in finding.get("instead", []):
            if view.holds(case["when"]) == YES:
                return case.get("for", {}), case.get("against", {})
        return finding.get("for", {}), finding.get("against", {})

    def chances(self, findings, view, wear, tilt):
        """Fault: chance, whether its cost is sure, prior odds with wear."""
        spoken = [(finding.get("sign") or finding["id"], *self.words(finding, view)) for finding in findings]
        found = {}
        for fault in self.data.faults:
            if self.view.holds(fault.get("exists")) == NO:
                continue
            fits = [prior["chance"] for prior in fault["priors"] if self.view.holds(prior.get("when")) == YES]
            prior = fits[0] if fits else fault["priors"][-1]["chance"]
            before = prior / (1 - prior) * tilt * (wear if fault.get("wears") else 1)
            signs, seen = {}, False
            for sign, words_for, against in spoken:
                word, other = words_for.get(fault["id"]), against.get(fault["id"])
                high, low = signs.get(sign, (1, 1))
                signs[sign] = max(high, FACTOR.get(word, 1)), max(low, FACTOR.get(other, 1))
                seen |= word == "seen"
            moved = math.prod(high / low for high, low in signs.values())
            held = lambda odds: min(max(odds / (1 + odds), 0.01), 0.98)
            found[fault["id"]] = {"p": 0.98 if seen else held(before * moved), "sure": seen,
                                  "fine": held(before * min(moved, 1 / 50))}
        return found

    def lines(self, chances, sure_items):
        """Item: chance to pay, size; larger repairs cover smaller ones."""
        unpaid = {item["id"]: 0.0 if item["id"] in sure_items else 1.0 for item in self.data.items}
        called = set(sure_items)
        for fault in self.data.faults:
            if fault["id"] in chances:
                chance = chances[fault["id"]]
                unpaid[fault["item"]] *= 0.0 if chance["sure"] else 1 - chance["p"]
                called.add(fault["item"])
        lines = {}
        for item in self.data.items:
            size = self.size(item)
            if item["id"] in called and size and size[2] > 0:
                covered = math.prod(unpaid[other["id"]] for other in self.data.items if item["id"] in other.get("covers", []))
                lines[item["id"]] = (1 - unpaid[item["id"]]) * covered, size
        return lines

    def sure_items(self):
        return {item["id"] for item in self.data.items if "sure" in item and self.view.holds(item["sure"]) == YES}

    def ordinary(self, tilt):
        chances = self.chances(self.good, self.bare, self.by_age, tilt)
        return mean_of(self.lines(chances, {"first-service"}))

    def value(self, gap):
        """Figures, what the adverts ask."""
        asked, text = self.money("asking-price"), self.values.get("comparables")
        if text is None:
            return None if asked is None else ([asked * (1 - gap)], asked)
        prices = [float(one) for one in text.split()]
        middle = float(numpy.median(prices))
        odd = [price > 2 * middle or price < middle / 2 for price in prices]
        if len(prices) == 2 and any(odd):
            far = [abs(math.log(price / asked)) if asked else price for price in sorted(prices)]
            kept = [sorted(prices)[0 if far[0] <= far[1] else 1]]
        else:
            kept = [price for price, is_odd in zip(prices, odd) if not is_odd] or prices
        return [price * (1 - gap) for price in kept], sum(kept) / len(kept)


def mean(size):
    return (size[0] + 4 * size[1] + size[2]) / 6


def mean_of(lines):
    return sum(chance * mean(size) for chance, size in lines.values())


def step_for(most, cells):
    if most <= 0:
        return 1.0
    return min(step * 10.0**decade for decade in range(-6, 12) for step in (1, 2, 5)
               if math.ceil(most / (step * 10.0**decade) - 1e-9) <= cells)


def on_nodes(size, step):
    """Beta-PERT on a grid, each part of it split between its two nearest nodes so that its mean holds."""
    low, likely, high = size
    nodes = numpy.zeros(int(math.ceil(high / step)) + 2)
    if high - low < 1e-12:
        cell = min(int(high // step), len(nodes) - 2)
        share = high / step - cell
        nodes[cell] += 1 - share
        nodes[cell + 1] += share
        return nodes
    a, b = 1 + 4 * (likely - low) / (high - low), 1 + 4 * (high - likely) / (high - low)
    edges = numpy.arange(len(nodes) + 1) * step
    place = numpy.clip((edges - low) / (high - low), 0, 1)
    chance = stats.beta.cdf(place, a, b)
    part = low * chance + (high - low) * a / (a + b) * stats.beta.cdf(place, a + 1, b)
    here, mass = numpy.diff(chance), numpy.diff(part)
    for cell in range(len(nodes) - 1):
        nodes[cell] += (edges[cell + 1] * here[cell] - mass[cell]) / step
        nodes[cell + 1] += (mass[cell] - edges[cell] * here[cell]) / step
    return nodes


class Total:
    """The sum of independent costs by convolution."""

    def __init__(self, sizes, cells=4096):
        self.step = step_for(sum(size[2] for size in sizes), cells)
        self.nodes = [on_nodes(size, self.step) for size in sizes]
        self.length = sum(len(nodes) for nodes in self.nodes) + 1
        self.length = 1 << (self.length - 1).bit_length()
        self.spectra = [numpy.fft.rfft(nodes, self.length) for nodes in self.nodes]

    def of(self, chances):
        product = numpy.ones(self.length // 2 + 1, complex)
        for spectrum, chance in zip(self.spectra, chances):
            product *= 1 - chance + chance * spectrum
        weights = numpy.maximum(numpy.fft.irfft(product, self.length), 0)
        return numpy.arange(self.length) * self.step, weights


def quantile(figures, weights, share):
    order = numpy.argsort(figures, kind="stable")
    reached = numpy.cumsum(weights[order])
    return float(figures[order][min(int(numpy.searchsorted(reached, share - 1e-12)), len(order) - 1)])


def nets(figures, cost, upkeep):
    """All nets with their chances."""
    sums, weights = cost
    values = numpy.array(figures)[:, None]
    net = numpy.maximum(values - sums[None, :] + upkeep, 0.2 * values)
    return net.ravel(), numpy.tile(weights / len(figures), len(figures)), net.mean(axis=0)


def said(total):
    step = 5 if total < 200 else 25 if total < 1000 else 50 if total < 5000 else 100
    return math.floor((total + 1e-9) / step) * step


def reckon(case):
    """All figures of one interview."""
    found = {"chances": {}, "money": {}}
    now = case.chances(case.fired, case.view, case.wear, 1)
    found["chances"] = {fault: 1.0 * chance["p"] for fault, chance in now.items()}
    if not case.priced:
        return found
    other = case.money("other-costs") or 0.0
    lines = case.lines(now, case.sure_items())
    sizes = [size for _, size in lines.values()] + [[other] * 3]
    total = Total(sizes)
    spread = lambda lines: total.of([chance for chance, _ in lines.values()] + [1.0])
    cost, upkeep = spread(lines), case.ordinary(1)
    gap = case.data.settings["asking-gap"]
    value = case.value(gap)
    money = found["money"]
    money |= {"ordinary": upkeep, "cost.mean": float((cost[0] * cost[1]).sum()), "value": None if value is None else float(numpy.mean(value[0]))}
    for name, share in (("cost.p10", 0.1), ("cost.p50", 0.5), ("cost.p90", 0.9)):
        money[name] = quantile(*cost, share)
    verdict = case.printed["verdict"]
    if value is None or verdict["call"] == "walk-away":
        return found
    figures, adverts = value
    worth_of = money["value"]
    asked = case.money("asking-price") or math.inf
    net, weights, by_cost = nets(figures, cost, upkeep)
    mean_net = float((net * weights).sum())
    money["net_p10"], money["net_p90"] = quantile(net, weights, 0.1), quantile(net, weights, 0.9)
    serious = any(finding["grade"] == "serious" for finding in case.printed["findings"])
    floor = sum(cost[1][v - cost[0] + upkeep <= 0.2 * v].sum() for v in figures) / len(figures)
    money["write_off"] = bool(serious and floor > 0.5)
    ceiling = 0.2 * worth_of if money["write_off"] else min(mean_net, worth_of)
    ceiling = max(min(ceiling, asked), 0)
    opening = min(max(quantile(net, weights, 0.25), 0.75 * ceiling), 0.92 * ceiling)
    offers = {"opening": said(opening), "aim": said((opening + ceiling) / 2), "ceiling": said(ceiling)}
    hangs = not money["write_off"] and verdict["call"] != "fair"
    hinge = None if not hangs else find_hinge(case, now, spread, figures, upkeep, asked)
    money["hinge"] = hinge
    aim = offers["aim"]
    money["know_all"] = float((numpy.maximum(by_cost - aim, 0) * cost[1]).sum()) - max(mean_net - aim, 0)
    money["look"] = min(money["know_all"], look(case, now, lines, other, figures, upkeep, aim))
    if hinge:
        money |= {"opening": None, "aim": None, "ceiling": None, "least": None, "most": None}
        return found
    money |= offers
    money |= ranges(case, spread, cost, upkeep, ceiling, open_looks(case, now, other), value)
    money["waterfall"] = waterfall(case, lines, other, value, upkeep, mean_net, money, asked)
    return found


def waterfall(case, lines, other, value, upkeep, mean_net, money, asked):
    """Levels from the adverts to the ceiling; each step is the difference of two rounded ones."""
    figures, adverts = value
    worth_of, level = float(numpy.mean(figures)), float(numpy.mean(figures))
    levels = [("adverts" if "comparables" in case.values else "asking-price", adverts), ("gap", level)]
    dear = {item: chance * mean(size) for item, (chance, size) in lines.items() if chance * mean(size) >= 0.02 * worth_of}
    for item in sorted(dear, key=lambda item: -dear[item])[:6]:
        level -= dear[item]
        levels.append((item, level))
    level = worth_of - other - mean_of(lines)
    levels += [("other-costs", levels[-1][1] - other), ("rest", level), ("upkeep", level + upkeep), ("floor", mean_net)]
    level = mean_net
    if money["write_off"]:
        level = 0.2 * worth_of
        levels.append(("parts-only", level))
    level = min(level, worth_of)
    levels += [("value-cap", level), ("asking-cap", min(level, asked)), ("rounding", money["ceiling"])]
    whole = [0] + [math.floor(level + 0.5) for _, level in levels]
    return [(what, after - before) for (what, _), before, after in zip(levels, whole, whole[1:]) if after != before]


def look_of(case, name):
    """Fault: strongest words for and against that the answer to an open question can still bring."""
    order = list(case.data.questions)
    words = {}
    for finding in case.data.findings:
        behind = reads(finding["when"])
        if not behind:
            continue
        last = max(behind, key=order.index)
        root = lambda one: root(case.data.questions[one]["follows"]) if case.data.questions[one].get("follows") else one
        if name not in (last, max(map(root, behind), key=order.index)):
            continue
        if name not in case.values and case.view.holds(finding["when"]) == NO:
            continue
        for side, spoken in enumerate((finding.get("for", {}), finding.get("against", {}))):
            for fault, word in spoken.items():
                words.setdefault(fault, [1, 1])[side] = max(words.get(fault, [1, 1])[side], FACTOR[word])
    return words


def open_looks(case, now, other):
    """The 10 and 90 % points of the mean cost that is left once all that is open was looked at."""
    best = {}
    for name in case.steps:
        if case.view.seen(name):
            continue
        for fault, (high, low) in look_of(case, name).items():
            if fault in now and not now[fault]["sure"] and high > 1 and low > 1:
                specific = (high - 1) / (high - 1 / low)
                sensitive = high * (1 - specific)
                if fault not in best or sensitive + specific > sum(best[fault]):
                    best[fault] = sensitive, specific
    item = {fault["id"]: fault["item"] for fault in case.data.faults if fault["id"] in now}
    group = {one["id"]: {one["id"]} for one in case.data.items}
    for one in case.data.items:
        for covered in one.get("covers", []):
            joined = group[one["id"]] | group[covered]
            for member in joined:
                group[member] = joined
    sure, cells, step = case.sure_items(), {0: 1.0}, 0.5
    for members in {frozenset(one) for one in group.values()}:
        inside = [fault for fault in best if item[fault] in members]
        sums = {}
        for signs in itertools.product((True, False), repeat=len(inside)):
            chances, chance = {fault: now[fault] for fault in now if item[fault] in members}, 1.0
            for fault, bad in zip(inside, signs):
                (sensitive, specific), p = best[fault], now[fault]["p"]
                here = p * sensitive + (1 - p) * (1 - specific) if bad else p * (1 - sensitive) + (1 - p) * specific
                after = p * (sensitive if bad else 1 - sensitive) / here
                chances[fault], chance = now[fault] | {"p": after}, chance * here
            cost = mean_of(case.lines(chances, sure & members))
            place, share = divmod(cost / step, 1)
            for cell, part in ((int(place), 1 - share), (int(place) + 1, share)):
                sums[cell] = sums.get(cell, 0) + chance * part
        joined = numpy.zeros(max(cells) + max(sums) + 1)
        left, right = numpy.zeros(max(cells) + 1), numpy.zeros(max(sums) + 1)
        for grid, all_cells in ((left, cells), (right, sums)):
            for cell, chance in all_cells.items():
                grid[cell] += chance
        for cell in numpy.nonzero(right)[0]:
            joined[cell : cell + len(left)] += right[cell] * left
        cells = {int(cell): joined[cell] for cell in numpy.nonzero(joined)[0]}
    reached = numpy.cumsum([cells[cell] for cell in sorted(cells)])
    places = sorted(cells)
    return [other + step * places[min(int(numpy.searchsorted(reached, share)), len(places) - 1)] for share in (0.1, 0.9)]


def find_hinge(case, now, spread, figures, upkeep, asked):
    worth_of = float(numpy.mean(figures))

    def worth(chances):
        net, weights, _ = nets(figures, spread(case.lines(chances, case.sure_items())), upkeep)
        return min(float((net * weights).sum()), worth_of)

    today, best = worth(now), None
    for fault in case.data.faults:
        chance = now.get(fault["id"])
        if chance is None or chance["sure"] or fault["id"] in ("water-pump", "belt", "valve-check", "anodes"):
            continue
        fine = worth(now | {fault["id"]: chance | {"p": chance["fine"]}})
        faulty = worth(now | {fault["id"]: chance | {"sure": True}})
        moves = min(fine - today, today - faulty)
        if moves > worth_of / 10 and (best is None or moves > best[0]):
            best = moves, {"fault": fault["id"], "fine": said(min(fine, asked)), "faulty": said(min(faulty, asked))}
    return best and best[1]


def look(case, now, lines, other, figures, upkeep, aim):
    """Six faults, each seen with strength 12 either way; every joint outcome on a coarse grid."""
    item = {fault["id"]: fault["item"] for fault in case.data.faults}
    doubt = {fault: chance["p"] * (1 - chance["p"]) * mean(lines[item[fault]][1])
             for fault, chance in now.items() if not chance["sure"] and item[fault] in lines}
    asked = sorted((fault for fault in doubt if doubt[fault] > 0), key=lambda fault: -doubt[fault])[:6]
    total = Total([size for _, size in lines.values()] + [[other] * 3], 512)
    right = 12 / 13  # the chance to see it right: 12 times as likely as to see it wrong
    with_look, sure = 0.0, case.sure_items()
    mean_all = 0.0
    for signs in itertools.product((True, False), repeat=len(asked)):
        chances, chance = dict(now), 1.0
        for fault, bad in zip(asked, signs):
            p = now[fault]["p"]
            here = p * right + (1 - p) * (1 - right) if bad else p * (1 - right) + (1 - p) * right
            after = p * (right if bad else 1 - right) / here
            chances[fault], chance = now[fault] | {"p": after}, chance * here
        case_lines = case.lines(chances, sure)
        _, weights, by_cost = nets(figures, total.of([p for p, _ in case_lines.values()] + [1.0]), upkeep)
        worth = float((by_cost * weights[: len(by_cost)] * len(figures)).sum())
        with_look += chance * max(worth - aim, 0)
        mean_all += chance * worth
    return with_look - max(mean_all - aim, 0)


def ranges(case, spread, cost, upkeep, ceiling, after_looks, value):
    """Odds, costs and gap one at a time, then all against and all for; then after the looks still open."""
    def worth(cost, upkeep, factor, gap):
        figures, _ = case.value(gap)
        net, weights, _ = nets(figures, (cost[0] * factor, cost[1]), upkeep * factor)
        return max(min(float((net * weights).sum()), float(numpy.mean(figures))), 0)

    def tilted(odds):
        chances = case.chances(case.fired, case.view, case.wear, odds)
        return spread(case.lines(chances, case.sure_items())), case.ordinary(odds)

    more, less = tilted(2), tilted(0.5)
    gap = case.data.settings["asking-gap"]
    all_cases = [ceiling, worth(*more, 1, gap), worth(*less, 1, gap), worth(cost, upkeep, 0.7, gap), worth(cost, upkeep, 1.3, gap),
                 worth(cost, upkeep, 1, 0.05), worth(cost, upkeep, 1, 0.15), worth(*more, 1.3, 0.15), worth(*less, 0.7, 0.05)]
    worth_of = float(numpy.mean(value[0]))
    all_cases += [min(max(worth_of + upkeep - left, 0.2 * worth_of), worth_of) for left in after_looks]
    return {"range": (min(all_cases), max(all_cases), 0.003 * worth_of)}


def widened(low, high):
    """The range as said, never without width."""
    low, high = said(low), said(high)
    if high > low:
        return low, high
    step = 5 if high < 200 else 25 if high < 1000 else 50 if high < 5000 else 100
    return max(low - step, 0), high + step


def compare(name, found, printed):
    """Differences in words."""
    wrong = []
    near = lambda a, b, slack: abs(a - b) <= slack
    if set(found["chances"]) != set(printed["chances"]):
        wrong.append(f"faults {sorted(set(found['chances']) ^ set(printed['chances']))}")
    for fault, chance in found["chances"].items():
        if not near(chance, printed["chances"].get(fault, -1), 1e-9):
            wrong.append(f"{fault} {chance:.6f}, printed {printed['chances'].get(fault)}")
    money = printed["money"]
    for key, own in found["money"].items():
        if key in ("range", "waterfall"):
            continue
        theirs = money
        for part in key.split("."):
            theirs = theirs and theirs[part]
        if isinstance(own, bool) or own is None or isinstance(own, dict):
            same = own == theirs
        elif key in ("opening", "aim", "ceiling"):
            same = theirs is not None and near(own, theirs, 1e-9)
        else:
            same = theirs is not None and near(own, theirs, 1e-3 * max(1.0, abs(own)) if key in ("look", "know_all") else 1e-6 * max(1.0, abs(own)))
        if not same:
            wrong.append(f"{key} {own}, printed {theirs}")
    steps = money.get("waterfall")
    if money.get("ceiling") is not None:
        if steps is None or sum(step["sum"] for step in steps) != money["ceiling"]:
            wrong.append("the waterfall does not add up")
        theirs = [(step["what"], step["sum"]) for step in steps or []]
        if theirs != found["money"]["waterfall"]:
            wrong.append(f"waterfall {found['money']['waterfall']}, printed {theirs}")
        low, high, slack = found["money"]["range"]
        may = {widened(low + one, high + other) for one in (-slack, 0, slack) for other in (-slack, 0, slack)}
        if (money["least"], money["most"]) not in may:
            wrong.append(f"range {money['least']} to {money['most']}, not {low:.0f} to {high:.0f}")
    return [f"{name}: {line}" for line in wrong]


def random_answers(data, dice):
    """An interview answered by chance, half of it left open now and then."""
    open_share, answers = dice.choice([0, 0.1, 0.5]), {}
    well = dice.random() < 0.7
    for name, question in data.questions.items():
        (kind, body), = question["kind"].items()
        if dice.random() < open_share:
            continue
        if kind in ("one", "many", "each"):
            goods = [choice["id"] for choice in body if choice.get("well")]
            free = [choice["id"] for choice in body if well is False or not choice.get("closes")] or [body[0]["id"]]
            pick = dice.choice(goods) if goods and dice.random() < 0.6 else dice.choice(free)
            answers[name] = pick
        elif kind == "amount" and "usual" in body and dice.random() < 0.7:
            low, high = (amount(end) for end in body["usual"])
            answers[name] = f"{dice.uniform(low, high):.2f} {re.sub(r'^[-0-9. ]+', '', body['usual'][0])}".strip()
    power = dice.choice([2, 4, 9.9, 15, 25, 40, 60, 90, 115, 150, 200, 250, 300, 350])
    asked = round(dice.uniform(20, 120) * power**1.05 / 5) * 5 + 200
    count = dice.choice([1, 2, 3, 4, 6])
    answers |= {"claimed-power": f"{power} hp", "claimed-year": str(dice.randint(1985, 2026)), "cylinders": str(count),
                "asking-price": str(asked), "currency": dice.choice(["$", "USD", "$", "EUR"]),
                "hours": f"{dice.randint(5, 2500)} h", "compression": " ".join(str(dice.choice([150, 150, 151, 148, 140, 118])) for _ in range(count)) + " psi",
                "labour-rate": str(dice.randint(60, 180)), "comparables": " ".join(str(round(asked * dice.uniform(0.45, 1.9))) for _ in range(dice.randint(1, 5)))}
    if answers["currency"] == "EUR" and dice.random() < 0.8:
        answers["parts-scale"] = dice.choice(["1.2", "115", "0.9"])
    for name, left_out in (("comparables", 0.2), ("hours", 0.3), ("claimed-year", 0.1), ("labour-rate", 0.4), ("compression", 0.2), ("asking-price", 0.05)):
        if dice.random() < left_out:
            del answers[name]
    return {"date": "2026-05-01", "answers": answers}


def written_out(file, folder, data):
    """A case is an example with other answers, some taken away; on request the rest is answered "can't tell"."""
    case = json.loads(file.read_text())
    base = json.loads((ROOT / "examples" / case["base"]).read_text())["answers"] if case.get("base") else {}
    answers = base | case.get("answers", {})
    answers = {name: said for name, said in answers.items() if name not in case.get("without", [])}
    if case.get("rest-unknown"):
        answers = {name: "can't tell" for name in data.questions} | answers
    out = folder / f"{file.parent.name}.json"
    out.write_text(json.dumps({"date": case.get("date", "2026-05-03"), "answers": answers}))
    return out


def replay(program, file):
    done = subprocess.run([program, "replay", str(file), "--format", "json"], capture_output=True, text=True, check=False)
    return (json.loads(done.stdout), "") if done.returncode == 0 else (None, done.stderr)


def main():
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("program")
    asked.add_argument("files", nargs="*", type=Path)
    asked.add_argument("--random", type=int, default=0)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--keep", type=Path, help="folder for the interviews that differ")
    given = asked.parse_args()
    data, dice = Data(ROOT / "questions"), random.Random(given.seed)
    files = list(given.files)
    if not files and not given.random:
        files = sorted((ROOT / "examples").glob("*.json")) + sorted((ROOT / "tests/cases").glob("*/case.json"))
    wrong, skipped, tally = [], 0, Tally(data)
    with tempfile.TemporaryDirectory() as folder:
        for number in range(given.random):
            files.append(readable(given.program, random_answers(data, dice), Path(folder) / f"random-{number}.json"))
        for file in files:
            if file.name == "case.json":
                file = written_out(file, Path(folder), data)
            printed, told = replay(given.program, file)
            if printed is None:
                skipped += 1
                print(f"{file}: not readable: {told.strip()[:200]}")
                continue
            case = Interview(data, printed)
            problems = compare(file.stem, reckon(case), printed)
            if problems and given.keep:
                (given.keep / file.name).write_text(file.read_text())
            wrong += problems
            tally.count(case)
    print(*wrong, sep="\n")
    print(f"{tally.held} interviews recomputed, {len(wrong)} differences, {skipped} not readable")
    print(tally.told())
    sys.exit(1 if wrong or skipped else 0)


class Tally:
    """How often a price hangs on one fault, is that of parts, and how often a workshop's look pays."""

    def __init__(self, data):
        self.data, self.held, self.priced = data, 0, 0
        self.rare = {"hinge": [], "not worth repairing": [], "look pays": []}

    def count(self, case):
        printed, self.held = case.printed, self.held + 1
        money, call = printed["money"], printed["verdict"]["call"]
        if money["value"] is None or money["look"] is None:
            return
        self.priced += 1
        fee = case.money("inspection-fee")
        if fee is None:
            fee = case.size(self.data.item["inspection"])[1]
        for name, is_so in (("hinge", money["hinge"]), ("not worth repairing", money["write_off"]), ("look pays", money["look"] > fee)):
            self.rare[name] += [call] if is_so else []

    def told(self):
        lines = (f"{name}: {len(calls)} of {self.priced}, of them fair {calls.count('fair')}" for name, calls in self.rare.items())
        return "with a price: " + "; ".join(lines)


def readable(program, answers, file):
    """Writes the answers without those the program can't read."""
    for _ in range(40):
        file.write_text(json.dumps(answers))
        printed, told = replay(program, file)
        bad = [name for name in answers["answers"] if re.search(rf"\b{re.escape(name)}\b", told)] if printed is None else []
        if not bad:
            break
        for name in bad:
            del answers["answers"][name]
    return file


if __name__ == "__main__":
    main()
