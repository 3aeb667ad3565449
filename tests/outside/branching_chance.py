"""Made by chance, from a seed: answers and edits as a buyer makes them, and folders of questions to answer.

Start at `Buyer` and at `random_folder`.
"""

import json
import shutil

from branching_form import choices_of, kind_of, number

CANT_TELL = "can't tell"


class Buyer:
    """Somebody who answers what is asked, and goes back on it. Answers are `{"not-done": reason}`, can't tell, or a
    value: a choice, a list of choices, a list of readings, a number, a text."""

    def __init__(self, form, chance, start):
        self.form, self.chance = form, chance
        self.answers, self.past = dict(start), []

    def step(self, asked):
        """Changes some answers, given the questions that are asked now and their states."""
        acts = {self.go_on: 6, self.change: 5, self.take_away: 2, self.pass_over: 2, self.end_something: 2,
                self.answer_asleep: 1, self.undo: 2}
        act, = self.chance.choices(list(acts), list(acts.values()))
        before = dict(self.answers)
        act(asked)
        self.past.append(before)

    def go_on(self, asked):
        """Answers what is open, in its order."""
        still = [name for name, state in asked if state == "open"]
        for name in still[:self.chance.choice([1, 2, 3, 10, 40])]:
            passes = self.chance.random() < 0.07
            self.say(name, self.no_value() if passes else self.value(name))

    def change(self, asked):
        dealt = [name for name, state in asked if state != "open"]
        for name in self.chance.sample(dealt, min(len(dealt), self.chance.randint(1, 3))):
            self.say(name, self.value(name, wild=True))

    def end_something(self, asked):
        choices = [(name, one) for name, _ in asked for one in choices_of(self.form.by_id[name])]
        ends = [(name, one["id"]) for name, one in choices if one.get("closes")]
        if not ends:
            return
        name, choice = self.chance.choice(ends)
        kind, value = kind_of(self.form.by_id[name])[0], self.value(name)
        self.say(name, choice if kind == "one" else [choice, *value[1:]] if kind == "each" else [choice])

    def take_away(self, asked):
        for name in self.chance.sample(sorted(self.answers), min(len(self.answers), self.chance.randint(1, 3))):
            del self.answers[name]

    def pass_over(self, asked):
        for name, _ in self.chance.sample(asked, min(len(asked), self.chance.randint(1, 3))):
            self.say(name, self.no_value())

    def answer_asleep(self, asked):
        on_path = {name for name, _ in asked}
        off = [name for name in self.form.by_id if name not in on_path]
        for name in self.chance.sample(off, min(len(off), 4)):
            self.say(name, self.value(name, wild=True))

    def undo(self, asked):
        """Everything as it was one to four steps ago."""
        if self.past:
            self.answers = dict(self.past[-min(len(self.past), self.chance.randint(1, 4))])

    def say(self, name, value):
        if value is None:
            return
        self.answers[name] = value
        if name == "cylinders" and not no_value(value):
            for other, said in list(self.answers.items()):
                if self.by_cylinder(other) and not no_value(said):
                    del self.answers[other]

    def by_cylinder(self, name):
        """Whether the answer is made of numbers or words by cylinder, which would not fit another number of them."""
        kind, body = kind_of(self.form.by_id[name])
        return kind in ("each", "readings") or (kind == "text" and body.get("form") == "cylinder-groups")

    def no_value(self):
        return self.chance.choice([CANT_TELL, {"not-done": "it got dark"}])

    def value(self, name, wild=False):
        """A value a question takes; unless `wild` mostly one that lets the interview go on."""
        kind, body = kind_of(self.form.by_id[name])
        if kind in ("one", "many", "each"):
            return self.choices(kind, body, wild)
        count = self.answers.get("cylinders")
        count = count if isinstance(count, int) else self.chance.randint(1, 6)
        if kind == "readings":
            # How many cylinders are low is worked out by the program: nothing to fit a list to.
            return None if body["of"] == "low-cylinders" else self.readings(body, count)
        if kind == "amount":
            return self.amount(body)
        if kind == "count":
            return self.chance.randint(body["least"], min(body["most"], 6))
        if kind == "year":
            return self.chance.randint(body["least"], 2026)
        if kind == "money":
            return self.chance.randint(1, min(9000, int(body["most"])))
        if kind == "prices":
            return " ".join(str(self.chance.randint(1000, 6000)) for _ in range(self.chance.randint(1, 4)))
        return {
            "cylinder-groups": " ".join(str(place + 1) for place in range(count)),
            "engine-family": "HXXXM00.7A1B",
            "currency": self.chance.choice(["USD", "EUR"]),
        }.get(body.get("form"), self.chance.choice(["Alpha", "beta", "GAMMA ray"]))

    def choices(self, kind, body, wild):
        weight = lambda one: 1 if wild else 0.3 if one.get("closes") else 8 if one.get("well") else 2
        pick = lambda: self.chance.choices(body, [weight(one) for one in body])[0]
        if kind == "one":
            return pick()["id"]
        if kind == "each":
            count = self.answers.get("cylinders")
            count = count if isinstance(count, int) else self.chance.randint(2, 4)
            alike = self.chance.random() < 0.4
            return [pick()["id"]] * count if alike else [pick()["id"] for _ in range(count)]
        picked = [pick() for _ in range(self.chance.choice([1, 1, 2, 3]))]
        if any(one.get("alone") for one in picked):
            picked = [next(one for one in picked if one.get("alone"))]
        return sorted({one["id"] for one in picked})

    def amount(self, body):
        low, high = (number(text)[0] for text in body.get("usual") or (body["least"], body["most"]))
        places = self.chance.choice([0, 1, 2]) if high > low + 4 else 2
        return min(high, max(low, round(self.chance.uniform(low, high), places)))

    def readings(self, body, count):
        low, high = (number(text)[0] for text in body["usual"])
        top = self.chance.uniform(low, high)
        read = [round(min(high, max(low, top * self.chance.choice([1, 1, 0.98, 0.8]))), 1) for _ in range(count)]
        if count > 1 and self.chance.random() < 0.2:
            read[self.chance.randrange(count)] = "?"
        return read


def no_value(value):
    return value == CANT_TELL or isinstance(value, dict)


def as_typed(question, value):
    """The answer as it stands in an answers file. The leading = takes words as they stand."""
    kind, body = kind_of(question)
    if no_value(value):
        return value
    if kind in ("one", "text"):
        return "=" + value
    if kind in ("many", "each"):
        return "=" + "; ".join(value)
    if kind == "readings":
        return " ".join(str(one) for one in value) + " " + body["unit"]
    return f"{value} {body['unit']}".strip() if kind == "amount" else str(value)


def as_input(question, value):
    """The inputs of the form for it: the value, and how the question was dealt with."""
    name, kind = question["id"], kind_of(question)[0]
    if value is None or no_value(value):
        said = None if value is None else "cant-tell" if value == CANT_TELL else "not-done"
        return {f"v_{name}": None, f"s_{name}": said}
    if kind in ("each", "readings"):
        value = " ".join(str(one) for one in value)
    return {f"v_{name}": value, f"s_{name}": "value"}


# Folders.

def random_folder(shipped, target, chance, names):
    """The shipped questions with a stage of random ones somewhere between, random ends and conditions put on others.
    `names` are the measures a condition may name. Not every such folder passes the program's check."""
    shutil.copytree(shipped, target)
    files = sorted(target.glob("[0-9]*.json"))
    stages = [json.loads(file.read_text()) for file in files]
    at = chance.randrange(1, len(stages) + 1)
    before = [question for stage in stages[:at] for question in stage["questions"]]
    ids = [stage["stage"]["id"] for stage in stages] + ["chance", "interview"]
    maker = Maker(chance, before, ids, names if at == len(stages) else {})
    (target / f"{at:02}a-chance.json").write_text(json.dumps(maker.stage(chance.randint(8, 24))))
    visit = json.loads((target / "visit.json").read_text())
    visit["visit"]["sheet"][1]["stages"].append("chance")
    (target / "visit.json").write_text(json.dumps(visit))
    for place, (file, stage) in enumerate(zip(files, stages)):
        for question in stage["questions"]:
            if place >= at and "follows" not in question and chance.random() < 0.25:
                own = maker.condition(2)
                question["when"] = {"all": [question["when"], own]} if "when" in question else own
            for one in choices_of(question):
                if "closes" not in one and chance.random() < 0.004:
                    one |= maker.end()
        file.write_text(json.dumps(stage))


class Maker:
    """Makes questions that look at what was made before them."""

    def __init__(self, chance, before, stages, measures):
        self.chance, self.stages, self.measures = chance, stages, measures
        self.shipped, self.made, self.ended = before, [], 0

    def stage(self, count):
        while len(self.made) < count:
            self.family(None, 0)
        about = {"id": "chance", "title": "Chance", "about": "Made by chance.", "gates": self.gates()}
        return {"stage": about, "questions": self.made, "findings": []}

    def family(self, above, depth):
        """A question with its follow-ups right behind it."""
        question = self.question(above)
        self.made.append(question)
        follow_ups = 0 if depth > 2 else self.chance.choice([0, 0, 1, 2])
        for _ in range(follow_ups):
            self.family(question["id"], depth + 1)
        for one in choices_of(question):
            # It may look at the follow-ups, which stand behind.
            if "closes" in one and self.chance.random() < 0.4:
                one["closes-unless"] = self.condition(1)

    def question(self, above):
        name = f"c-{len(self.made)}"
        question = {"id": name, "kind": self.kind(), "brief": name, "ask": f"{name}?", "why": "It tells.", "minutes": 1}
        if above:
            question["follows"] = above
        if self.chance.random() < (0.8 if above else 0.5):
            question["when"] = self.condition(3, near=above)
        if "one" in question["kind"] and self.chance.random() < 0.35:
            untold = {"choice": self.chance.choice(question["kind"]["one"])["id"]}
            untold |= {"when": self.condition(1)} if self.chance.random() < 0.5 else {}
            untold |= {"once-passed": True} if self.chance.random() < 0.5 else {}
            question["untold"] = untold if len(untold) > 1 else untold["choice"]
        question |= self.chance.choice([{}, {}, {"told": True}, {"place": "home"}, {"place": "helm"}])
        return question

    def kind(self):
        kind = self.chance.choice(["one"] * 5 + ["many", "many", "each", "amount", "readings", "count", "year", "text"])
        bounds = {"least": "10 psi", "most": "90 psi", "usual": ["20 psi", "60 psi"], "beyond": "No."}
        return {kind: {
            "amount": {"dimension": "pressure", "unit": "psi", **bounds},
            "readings": {"dimension": "pressure", "unit": "psi", **bounds, "of": "cylinders"},
            "count": {"least": 0, "most": 9, "beyond": "No."},
            "year": {"least": 1990, "beyond": "No."},
            "text": {},
        }.get(kind) or [self.choice(place) for place in range(self.chance.randint(2, 5))]}

    def choice(self, place):
        one = {"id": f"x{place}", "label": f"label {place}"}
        return one | (self.end() if self.chance.random() < 0.12 else {})

    def end(self):
        closed = self.chance.choices(self.stages, [8 if one == "chance" else 1 for one in self.stages])
        self.ended += 1
        return {"closes": closed, "because": f"It ends here, says reason {self.ended}."}

    def gates(self):
        """Gates before some of the stage's questions, or all of them."""
        gates = []
        for place in range(self.chance.choice([0, 1, 2])):
            made = [question["id"] for question in self.made]
            first = self.chance.choice([0, self.chance.randrange(1, len(made))])
            behind = sorted({made[first], *self.chance.sample(made[first:], self.chance.randint(1, len(made) - first))},
                            key=made.index) if first else []
            needs = [self.need(self.made[:first]) for _ in range(self.chance.randint(1, 2))]
            gates.append({"id": f"gate-{place}", "questions": behind, "needs": needs})
        return gates

    def need(self, made):
        look = Maker(self.chance, self.shipped, self.stages, self.measures)
        look.made = made
        need = {"check": self.chance.choice(made or self.shipped)["id"], "because": "It is not known."}
        if self.chance.random() < 0.6:
            need["good"] = {"any": [look.condition(1), look.condition(1), look.condition(0)]}
        if self.chance.random() < 0.6 or "good" not in need:
            need["bad"] = {"all": [look.condition(0), look.condition(1)]}
        return need

    def condition(self, depth, near=None):
        """A condition on what stands before; `near`, the question a follow-up hangs on, is named more often."""
        if depth and self.chance.random() < 0.5:
            head = self.chance.choice(["all", "any", "any", "not"])
            if head == "not":
                return {"not": self.condition(depth - 1, near)}
            return {head: [self.condition(depth - 1, near) for _ in range(self.chance.randint(1, 3))]}
        if self.measures and self.chance.random() < 0.1:
            return self.chance.choice(self.measures)
        near = [question for question in self.made if question["id"] == near] if self.chance.random() < 0.6 else []
        known = near or (self.made if self.made and self.chance.random() < 0.7 else self.shipped)
        return self.test(self.chance.choice(known))

    def test(self, question):
        name, (kind, body) = question["id"], kind_of(question)
        if kind in ("money", "prices") or self.chance.random() < 0.15:
            return {"answer": name, "answered": self.chance.random() < 0.5}
        some = lambda: [one["id"] for one in self.chance.sample(body, self.chance.randint(1, len(body) - 1))]
        if kind in ("many", "each"):
            return {"answer": name, self.chance.choice(["has", "only"]): some()}
        if kind == "one":
            return {"answer": name} | ({"any-of": some()} if self.chance.random() < 0.5 else {"is": some()[0]})
        if kind == "text":
            return {"answer": name, "any-of": self.chance.choice([["alpha"], ["beta", "gamma ray"], ["Alpha", "beta"]])}
        test = self.chance.choice(["at-least", "at-most"])
        low, high = {"count": (0, 6), "year": (1990, 2026)}.get(kind) or \
            [number(text)[0] for text in body.get("usual") or (body["least"], body["most"])]
        bound = self.chance.randint(int(low), max(int(low) + 1, int(high)))
        return {"answer": name, test: f"{bound} {body.get('unit', '')}".strip()}
