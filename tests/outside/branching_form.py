"""A folder of questions as a form of another engine: its branching written a second time, in another language.

Start at `Form`. What is yes, no or unknown here is a pair of texts there, one that is true on a clear yes and one that
is true on a clear no. Of every question stand in the form:

    v_ID  the answer, in a group g_ID whose `relevant` says whether it is asked; off the path the engine reads it as
          blank by its own rule and keeps it, which is how answers sleep
    o_ID  on, blank when the group is not relevant       r_ID  what it reads as while it has no value
    s_ID  how it was dealt with, relevant or not         y_ID, n_ID  it applies: a clear yes, a clear no
    e_ID_CHOICE  a choice that ends a part, in force     k_STAGE_GATE  a gate that stands open

The figures of measures are inputs, m_NAME: their arithmetic is held against other libraries elsewhere. What a mechanic
read stands whatever is shut; such answers come with a paper only, not in an answers file, and are left out. A list of a
length that does not fit the number of cylinders is refused in an answers file, so that here every list fits.
"""

import json
import re

# What a measure can't do without: when one of these is not asked of the motor, its conditions are a no.
NEEDS = {
    "fit": ["transom-height", "transom-measured", "shaft-length"],
    "age": ["claimed-year"],
    "compression-state": ["compression"],
    "all-low": ["compression"],
    "charge": ["volts-running"],
    "compression-share": ["compression"],
}
CYLINDERS = 12  # most an answer may say
SLACK = 1e-9
UPPER, LOWER = "ABCDEFGHIJKLMNOPQRSTUVWXYZ", "abcdefghijklmnopqrstuvwxyz"


def number(text):
    """The number of an amount, and its unit."""
    amount, unit = re.fullmatch(r"\s*(-?[\d.]+)\s*(\S*)\s*", str(text)).groups()
    return float(amount), unit


def kind_of(question):
    (kind, body), = question["kind"].items()
    return kind, body


def choices_of(question):
    kind, body = kind_of(question)
    return body if kind in ("one", "many", "each") else []


def both(parts):
    return "(" + " and ".join(parts) + ")" if parts else "true()"


def either(parts):
    return "(" + " or ".join(parts) + ")" if parts else "false()"


def on(name):
    return f"${{{name}}} = '1'"


def filled(name):
    return f"string-length(${{{name}}}) > 0"


class Form:
    """The questions of a folder in asking order, and the rows of the form made of them."""

    def __init__(self, folder):
        self.questions, self.stages, self.stage_of, self.measures = [], [], {}, set()
        for file in sorted(folder.glob("[0-9]*.json")):
            data = json.loads(file.read_text())
            self.stages.append(data["stage"])
            self.questions += data["questions"]
            self.stage_of |= {question["id"]: data["stage"] for question in data["questions"]}
        self.by_id = {question["id"]: question for question in self.questions}
        self.place = {question["id"]: place for place, question in enumerate(self.questions)}
        # Ends in the order in which they may come into force: name, question, what it closes, and the place of the
        # last follow-up, behind which it counts.
        self.ends = []
        # Of each end the question and the reason, as the program tells it.
        self.reasons = {}

    # Conditions.

    def yes(self, when):
        return self.test(when, True)

    def no(self, when):
        return self.test(when, False)

    def test(self, when, wanted):
        """The text that is true when the condition is a clear yes (`wanted`) or a clear no."""
        if when is None:
            return "true()" if wanted else "false()"
        for key, joins in (("all", (either, both)), ("any", (both, either))):
            if key in when:
                return joins[wanted]([self.test(part, wanted) for part in when[key]])
        if "not" in when:
            return self.test(when["not"], not wanted)
        return self.measure(when, wanted) if "measure" in when else self.answer(when, wanted)

    def measure(self, when, wanted):
        name = "m_" + when["measure"]
        self.measures.add(when["measure"])
        missing = [on("n_" + need) for need in NEEDS[when["measure"]]]
        if "above" in when:
            holds = f"${{{name}}} > {when['above']}"
        elif "below" in when:
            holds = f"${{{name}}} < {when['below']}"
        else:
            holds = either([f"${{{name}}} = '{word}'" for word in when.get("any-of") or [when["is"]]])
        if wanted:
            return both([f"not({either(missing)})", filled(name), holds])
        return either([*missing, both([filled(name), f"not({holds})"])])

    def answer(self, when, wanted):
        name = when["answer"]
        value = "v_" + name
        if "answered" in when:
            return filled(value) if when["answered"] == wanted else f"not({filled(value)})"
        question = self.by_id[name]
        kind, body = kind_of(question)
        yes, no = self.value_passes(kind, body, value, when)
        yes, no = [both([filled(value), yes])], [both([filled(value), no])]
        if "untold" in question and ("is" in when or "any-of" in when):
            reads = "r_" + name
            held = either([f"${{{reads}}} = '{one}'" for one in when.get("any-of") or [when["is"]]])
            yes.append(both([filled(reads), held]))
            no.append(both([filled(reads), f"not({held})"]))
        return either(yes) if wanted else either([on("n_" + name), *no])

    def value_passes(self, kind, body, name, when):
        """Of a question with a value: the texts for yes and for no."""
        value = f"${{{name}}}"
        if kind in ("many", "each"):
            other = [one["id"] for one in body if one["id"] not in when.get("only", [])]
            wrong = either([f"selected({value}, '{one}')" for one in other])
            right = either([f"selected({value}, '{one}')" for one in when.get("has", [])])
            yes = f"not({wrong})" if "only" in when else right
        elif kind in ("one", "text"):
            value = value if kind == "one" else f"translate({value}, '{UPPER}', '{LOWER}')"
            yes = either([f"{value} = '{one.lower()}'" for one in when.get("any-of") or [when["is"]]])
        elif kind == "readings":
            return self.readings_pass(body, value, when)
        else:
            yes = bound_passes(body, value, when)
        return yes, f"not({yes})"

    def readings_pass(self, body, value, when):
        """Yes when every one passes, no when one that was read does not; a `?` is neither."""
        every, fails = [], []
        for place in range(CYLINDERS):
            reading = f"selected-at({value}, {place})"
            beyond, passes = f"count-selected({value}) <= {place}", bound_passes(body, f"number({reading})", when)
            every.append(either([beyond, both([f"{reading} != '?'", passes])]))
            fails.append(both([f"not({beyond})", f"{reading} != '?'", f"not({passes})"]))
        return both(every), either(fails)

    # Questions.

    def rows(self):
        """Rows of the survey sheet and of the choices sheet."""
        survey, choices = [], []
        for stage in self.stages:
            own = [question for question in self.questions if self.stage_of[question["id"]] is stage]
            # A group for each stage and each question: the engine looks for a name among all that stand beside it.
            survey += group("t_" + stage["id"], [row for question in own for row in self.rows_of(question)])
        for question in self.questions:
            listed = question["id"]
            choices += [{"list_name": listed, "name": one["id"], "label": one["label"]} for one in choices_of(question)]
        first = [{"type": "text", "name": "m_" + name, "label": name} for name in sorted(self.measures)]
        return first + survey, choices

    def rows_of(self, question):
        """A question and what follows from it; `yes` and `no` of it look at earlier rows only."""
        name, kind = question["id"], kind_of(question)[0]
        above = question.get("follows")
        when = question.get("when")
        yes = both([self.yes(when)] + ([on("o_" + above)] if above else []))
        no = either([self.no(when)] + ([on("n_" + above)] if above else []))
        kept_shut = [on(end) for end, after, closes, last in self.ends if self.shuts(closes, last, name)]
        rows, gates = self.rows_of_gates(name)
        asked = both([on("y_" + name), f"not({either(kept_shut)})", *[on(gate) for gate in gates]])
        inner = [
            {"type": control(kind, name), "name": "v_" + name, "label": name},
            {"type": "calculate", "name": "o_" + name, "calculation": "'1'"},
        ]
        if "untold" in question:
            inner.append({"type": "calculate", "name": "r_" + name, "calculation": self.reads_as(question)})
        rows += [
            {"type": "text", "name": "s_" + name, "label": "how it was dealt with"},
            calculated("y_" + name, yes),
            calculated("n_" + name, no),
            *group("g_" + name, inner, asked),
        ]
        return group("q_" + name, rows + self.rows_of_ends(question))

    def shuts(self, closes, last, name):
        return self.place[name] > last and (self.stage_of[name]["id"] in closes or "interview" in closes)

    def rows_of_gates(self, name):
        """The gates a question stands behind, and the rows of those it is the first of."""
        stage, rows, names = self.stage_of[name], [], []
        for gate in stage.get("gates", []):
            behind = gate.get("questions") or [one for one in self.place if self.stage_of[one] is stage]
            if name not in behind:
                continue
            names.append(f"k_{stage['id']}_{gate['id']}")
            if name == min(behind, key=self.place.get):
                rows.append(calculated(names[-1], both([self.need_met(need) for need in gate["needs"]])))
        return rows, names

    def need_met(self, need):
        fine = [f"not({self.yes(need['bad'])})"] if "bad" in need else []
        fine += [self.yes(need["good"])] if "good" in need else []
        return either([on("n_" + need["check"]), both(fine)])

    def reads_as(self, question):
        """The choice a question without a value reads as; its own group sees to it that it is asked."""
        name, untold = question["id"], question["untold"]
        untold = untold if isinstance(untold, dict) else {"choice": untold}
        holds = [f"not({filled('v_' + name)})", self.yes(untold.get("when"))]
        if untold.get("once-passed"):
            later = self.questions[self.place[name] + 1:]
            here = [one for one in later if not one.get("told") and one.get("place") not in ("home", "seller")]
            passed = [filled("s_" + one["id"]) for one in here]
            holds.append(either([filled("s_" + name), *passed]))
        return f"if({both(holds)}, '{untold['choice']}', '')"

    def rows_of_ends(self, question):
        """The ends a question may bring, behind the last of its follow-ups."""
        name, kind = question["id"], kind_of(question)[0]
        for one in choices_of(question):
            if one.get("closes"):
                self.ends.append((f"e_{name}_{one['id']}", name, one["closes"], self.last_below(name)))
                self.reasons[self.ends[-1][0]] = name, one["because"]
        rows = []
        for end, after, _, last in self.ends:
            if last != self.place[name]:
                continue
            asked, choice = self.by_id[after], end.split("_")[2]
            one = next(one for one in choices_of(asked) if one["id"] == choice)
            of_list = kind_of(asked)[0] != "one"
            picked = [f"selected(${{v_{after}}}, '{choice}')" if of_list else f"${{v_{after}}} = '{choice}'"]
            picked += [f"${{r_{after}}} = '{choice}'"] if "untold" in asked else []
            undone = self.yes(one["closes-unless"]) if "closes-unless" in one else "false()"
            rows.append(calculated(end, both([either(picked), f"not({undone})"])))
        return rows

    def last_below(self, name):
        """The place of the last question that follows this one, directly or further down; its own without one."""
        family = {name}
        for question in self.questions[self.place[name] + 1:]:
            if question.get("follows") in family:
                family.add(question["id"])
        return max(self.place[one] for one in family)


def calculated(name, holds):
    return {"type": "calculate", "name": name, "calculation": f"if({holds}, '1', '0')"}


def group(name, rows, relevant=None):
    head = {"type": "begin group", "name": name, "label": name, "relevant": relevant}
    return [head, *rows, {"type": "end group", "name": name}]


def control(kind, name):
    """The input for a kind; lists by cylinder are texts, since a choice may stand in them twice."""
    listed = {"one": f"select_one {name}", "many": f"select_multiple {name}"}
    return listed.get(kind) or ("decimal" if kind in ("amount", "count", "year", "money") else "text")


def bound_passes(body, value, when):
    """A number against its bound, with the slack typed amounts have."""
    test = "at-least" if "at-least" in when else "at-most"
    bound, unit = number(when[test])
    if unit and unit != body["unit"]:
        raise SystemExit(f"a bound in another unit than its question's: {when}")
    sign, limit = (">=", bound - SLACK) if test == "at-least" else ("<=", bound + SLACK)
    return f"{value} {sign} {limit:.10f}"
