"""Branching against an outside engine: the same questions at every step of random interviews.

    cargo build
    python3 branching.py ../../target/debug/skeg [--sequences 1000] [--folders 40] [--steps 10] [--seed 1]

The shipped questions, and folders of random ones beside them, are written as XLSForm (`branching_form.py`), compiled
by pyxform and run in @getodk/xforms-engine under Node.js (`branching.mjs`). Random buyers (`branching_chance.py`)
answer, change, take away, pass over, answer what sleeps and undo. After each step the answers go through
`skeg replay FILE --format json` and into the form; the questions on the path, their order and their states, and the
early ends in force must be the same. Half of the sequences answer the shipped questions, half the random folders.

Python from 3.10 on, Node.js from 20 on and npm are needed; the packages go into a temporary folder, or into the one
named with --packages, and stay there. Ends with status 1 on a difference, with 77 where a tool or a package can't be
had: then nothing was compared.
"""

import argparse
import collections
import concurrent.futures
import io
import json
import random
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from branching_chance import Buyer, as_input, as_typed, random_folder
from branching_form import Form

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
PYTHON_PACKAGES = ["pyxform==4.5.0"]
NODE_PACKAGES = ["@getodk/xforms-engine@0.22.0", "jsdom@27.2.0"]
NOT_COMPARED = 77
DATE = "2026-05-01"
# Conditions on measures for random folders; words and sizes that do come up.
MEASURES = [
    {"measure": "fit", "is": "fits"}, {"measure": "fit", "is": "misfit"}, {"measure": "age", "above": 12},
    {"measure": "age", "below": 30}, {"measure": "compression-state", "any-of": ["even", "watch"]},
    {"measure": "all-low", "is": "no"}, {"measure": "charge", "any-of": ["sound", "between"]},
    {"measure": "compression-share", "below": 0.9},
]


def install(packages):
    """Fetches the packages; tells why and ends where they can't be had."""
    node, python = packages / "node", packages / "python"
    steps = [(node / "node_modules", ["npm", "install", "--prefix", node, "--no-audit", "--no-fund", *NODE_PACKAGES]),
             (python, [sys.executable, "-m", "pip", "install", "--quiet", "--target", python, *PYTHON_PACKAGES])]
    for there, command in steps:
        if there.exists():
            continue
        node.mkdir(parents=True, exist_ok=True)
        try:
            done = subprocess.run([str(word) for word in command], capture_output=True, text=True, timeout=300)
            problem = done.stderr if done.returncode else None
        except (OSError, subprocess.TimeoutExpired) as error:
            problem = str(error)
        if problem is not None:
            shutil.rmtree(there, ignore_errors=True)
            not_compared(f"{command[0]} gets no packages: {problem.strip()[-400:]}")
    sys.path.insert(0, str(python))
    return node


def not_compared(why):
    print(f"NOT COMPARED: {why}", file=sys.stderr)
    sys.exit(NOT_COMPARED)


def replay(skeg, folder, form, answers, scratch):
    """What the program makes of the answers; an error with its words where it refuses them."""
    typed = {name: as_typed(form.by_id[name], value) for name, value in answers.items()}
    file = scratch / "answers.json"
    file.write_text(json.dumps({"date": DATE, "answers": typed}))
    command = [skeg, "replay", file, "--format", "json", "--questions", folder]
    done = subprocess.run([str(word) for word in command], capture_output=True, text=True, timeout=120)
    if done.returncode:
        raise ValueError(done.stderr.strip())
    return json.loads(done.stdout)


class Trial:
    """A folder of questions, its form, and the sequences that answer it."""

    def __init__(self, folder, skeg):
        self.folder, self.skeg, self.form = folder, skeg, Form(folder)
        self.rows, self.choices = self.form.rows()
        self.sequences = []

    def xml(self):
        """The form as a workbook of two sheets, compiled."""
        from openpyxl import Workbook
        from pyxform.xls2xform import convert
        book = Workbook()
        book.remove(book.active)
        for title, rows in (("survey", self.rows), ("choices", self.choices)):
            sheet, heads = book.create_sheet(title), list(dict.fromkeys(head for row in rows for head in row))
            for row in [dict(zip(heads, heads)), *rows]:
                sheet.append([row.get(head) for head in heads])
        file = io.BytesIO()
        book.save(file)
        return convert(file, form_name="branching").xform

    def sequence(self, seed, steps, starts):
        """Random steps, each with the answers, what the program says of them, and the inputs for the form."""
        chance = random.Random(seed)
        start = chance.choice([{}, *starts])
        buyer, done, asked, told = Buyer(self.form, chance, start), [], [], {}
        with tempfile.TemporaryDirectory() as scratch:
            for step in range(steps):
                if step:
                    buyer.step(asked)
                said = replay(self.skeg, self.folder, self.form, buyer.answers, Path(scratch))
                asked = [(row["id"], row["state"]) for row in said["path"]]
                inputs = self.inputs(buyer.answers, said["measures"])
                # The form stands as the sequence before left it: the first step sets everything.
                news = {name: value for name, value in inputs.items() if name not in told or told[name] != value}
                told = inputs
                done.append((dict(buyer.answers), asked, said["ended"], news))
        return done

    def inputs(self, answers, measures):
        inputs = {}
        for question in self.form.questions:
            inputs |= as_input(question, answers.get(question["id"]))
        return inputs | {"m_" + name: text(measures.get(name, {}).get("value")) for name in self.form.measures}

    def differences(self, results):
        """Where the outside engine asks otherwise: sequence, step, what differs, and the answers then."""
        for at, (sequence, result) in enumerate(zip(self.sequences, results, strict=True)):
            for step, ((answers, asked, ended, _), other) in enumerate(zip(sequence, result, strict=True)):
                theirs = [tuple(row) for row in other["asked"]]
                if asked != theirs:
                    odd = [row for row in asked if row not in theirs], [row for row in theirs if row not in asked]
                    yield at, step, f"only the program: {odd[0]}; only the outside engine: {odd[1]}", answers
                program, engine = self.program_ends(ended), self.engine_ends(other["marks"])
                if program != engine:
                    yield at, step, f"ends of the program {program}, of the outside engine {engine}", answers

    def program_ends(self, ended):
        """Ends brought by choices; a gate shut by a bad value is told in the same list."""
        found = [(end["after"], end["because"]) for end in ended]
        return sorted({end for end in found if end in self.form.reasons.values()})

    def engine_ends(self, marks):
        in_force = {name for name in marks if name.startswith("e_")}
        return sorted({self.form.reasons[name] for name in in_force})


def text(value):
    """The figure of a measure for the form, which takes it as a text."""
    return value if value is None or isinstance(value, str) else repr(value)


def sound_folder(skeg, target, seed):
    """A random folder the program takes; of those it refuses the next is tried."""
    shipped = ROOT / "questions"
    for attempt in range(50):
        shutil.rmtree(target, ignore_errors=True)
        random_folder(shipped, target, random.Random(f"{seed} {attempt}"), MEASURES)
        try:
            with tempfile.TemporaryDirectory() as scratch:
                replay(skeg, target, Form(target), {}, Path(scratch))
            return target
        except ValueError as refused:
            last = refused
    raise SystemExit(f"50 random folders were refused, the last with: {last}")


def from_examples(form):
    """The answers of the examples that can be said in the terms of `Buyer`: its one-choice questions."""
    starts = []
    for file in sorted((ROOT / "examples").glob("*.json")):
        said = json.loads(file.read_text())["answers"]
        known = {name: [one["id"] for one in form.by_id[name]["kind"].get("one", [])] for name in said}
        starts.append({name: value for name, value in said.items() if isinstance(value, str) and value in known[name]})
    return starts


def run_node(node, trials, scratch):
    """What each form asks after each step of its sequences."""
    job, answer = scratch / "job.json", scratch / "answer.json"
    inputs = lambda trial: [[news for _, _, _, news in sequence] for sequence in trial.sequences]
    job.write_text(json.dumps([{"xml": trial.xml(), "sequences": inputs(trial)} for trial in trials]))
    try:
        done = subprocess.run(["node", HERE / "branching.mjs", node, job, answer], stderr=subprocess.PIPE, text=True)
    except OSError as error:
        not_compared(f"node does not start: {error}")
    if done.returncode == NOT_COMPARED:
        not_compared(done.stderr.strip())
    if done.returncode:
        raise SystemExit(done.stderr)
    return json.loads(answer.read_text())


def report(trials, results):
    """Figures of what was met; a comparison that met nothing would prove nothing."""
    steps = [step for trial in trials for one in trial.sequences for step in one]
    marks = collections.Counter(mark for result in results for one in result for step in one for mark in step["marks"])
    asked = collections.Counter(name for _, path, _, _ in steps for name, _ in path)
    slept = sum(len(answers.keys() - {name for name, _ in path}) for answers, path, _, _ in steps)
    shipped = trials[0].form
    ends = [end for end, *_ in shipped.ends]
    gates = [f"k_{stage['id']}_{gate['id']}" for stage in shipped.stages for gate in stage.get("gates", [])]
    print(f"{sum(len(trial.sequences) for trial in trials)} sequences, {len(steps)} steps, {len(trials)} folders; "
          f"{sum(asked.values())} questions asked, {slept} answers asleep")
    print(f"of {len(shipped.by_id)} shipped questions {sum(name in asked for name in shipped.by_id)} were asked, "
          f"{sum(asked[name] < len(steps) for name in shipped.by_id)} were off the path; "
          f"{sum(end in marks for end in ends)} of {len(ends)} ends came, "
          f"{sum(0 < marks[gate] < len(steps) for gate in gates)} of {len(gates)} gates stood both open and shut")
    never = [name for name in [*shipped.by_id, *ends] if name not in asked and name not in marks]
    print("never met: " + (", ".join(never) or "nothing"))


def tell(trials, results):
    """Tells the differences, the first few whole; gives their number."""
    count = 0
    for place, (trial, result) in enumerate(zip(trials, results, strict=True)):
        for at, step, what, answers in trial.differences(result):
            count += 1
            if count <= 5:
                typed = {name: as_typed(trial.form.by_id[name], value) for name, value in answers.items()}
                print(f"folder {place}, its sequence {at}, step {step}: {what}\n  {json.dumps(typed)}")
    print(f"{count} differences")
    return count


def walked(trials, asked, pool):
    """Answers the questions of the folders, the shipped ones every other time."""
    starts = from_examples(trials[0].form)
    odd = trials[1:] or trials
    mine = [trials[0] if at % 2 == 0 else odd[at // 2 % len(odd)] for at in range(asked.sequences)]
    walk = lambda at: mine[at].sequence(f"{asked.seed} {at}", asked.steps, starts)
    for trial, sequence in zip(mine, pool.map(walk, range(asked.sequences))):
        trial.sequences.append(sequence)


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0])
    parser.add_argument("skeg", type=Path, help="the program")
    parser.add_argument("--sequences", type=int, default=1000)
    parser.add_argument("--folders", type=int, default=40, help="random folders")
    parser.add_argument("--steps", type=int, default=10, help="of each sequence")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--packages", type=Path, help="where the outside packages are kept")
    asked = parser.parse_args()
    skeg = asked.skeg.resolve()
    with tempfile.TemporaryDirectory() as scratch, concurrent.futures.ThreadPoolExecutor() as pool:
        scratch = Path(scratch)
        node = install((asked.packages or scratch / "packages").resolve())
        make = lambda place: sound_folder(skeg, scratch / f"folder-{place}", f"{asked.seed} {place}")
        trials = [Trial(folder, skeg) for folder in [ROOT / "questions", *pool.map(make, range(asked.folders))]]
        walked(trials, asked, pool)
        results = run_node(node, trials, scratch)
        report(trials, results)
        sys.exit(1 if tell(trials, results) else 0)


if __name__ == "__main__":
    main()
