#!/usr/bin/env python3
"""Mutants of skeg, fast: all of cargo-mutants' mutants in one build, each behind a switch (mutant schemata).

cargo-mutants only lists the mutants; they are woven into one copy of the source, where `crate::mutant::on(ID)`
reads SKEG_MUTANT once. Each test is run once alone with SKEG_MUTANT_LOG, which tells the mutants it reaches; then
each mutant of a random sample is run against the tests that reach it, cheapest first, until one fails.

    pip install tree-sitter tree-sitter-rust; cargo install cargo-mutants --locked
    schemata.py all                     # the steps below, one after the other
    schemata.py list weave build reach run --minutes 40 report

The project is read where this file lies, or at --from; everything that is made lies in target/mutants, or at --to.
"""

import argparse
import collections
import json
import math
import os
import random
import re
import resource
import selectors
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

HERE = Path(__file__).resolve().parent
FOLDERS = {
    "judge": ["src/judge/**/*.rs"],
    "path": ["src/path/**/*.rs"],
    "measure": ["src/measure/**/*.rs"],
    "knowledge": ["src/knowledge/**/*.rs"],
    "answers": ["src/answers/**/*.rs"],
    "report/view": ["src/report/view/**/*.rs"],
    "commands": ["src/commands/**/*.rs"],
}
# Seconds a test takes alone: those of a band are run in one process a suite, those over the last alone.
BANDS = [0.25, 1.0]
# Not run but for survivors.
SLOW = {"terminal", "plans", "visit", "fuzz", "reliability"}
# Motors each law is tried on: 48 would take minutes a law; the first of them are the same.
LAWS = "6"

SWITCH = """//! The switch of woven mutants.
use std::io::Write;
use std::sync::atomic::{AtomicU32, AtomicU64, Ordering::Relaxed};

const UNREAD: u32 = u32::MAX;
const LOGGING: u32 = u32::MAX - 1;
const NONE: u32 = u32::MAX - 2;
static ACTIVE: AtomicU32 = AtomicU32::new(UNREAD);
static SEEN: [AtomicU64; 256] = [const { AtomicU64::new(0) }; 256];

#[inline(always)]
pub fn on(id: u32) -> bool {
    let active = ACTIVE.load(Relaxed);
    active == id || (active > NONE && asked(id))
}

#[cold]
#[inline(never)]
fn asked(id: u32) -> bool {
    if ACTIVE.load(Relaxed) == UNREAD {
        let wanted = std::env::var("SKEG_MUTANT").ok().and_then(|text| text.parse().ok());
        let logging = std::env::var_os("SKEG_MUTANT_LOG").is_some();
        ACTIVE.store(wanted.unwrap_or(if logging { LOGGING } else { NONE }), Relaxed);
    }
    let active = ACTIVE.load(Relaxed);
    if active == LOGGING {
        let bit = 1u64 << (id % 64);
        if SEEN[id as usize / 64].fetch_or(bit, Relaxed) & bit == 0 {
            let path = std::env::var_os("SKEG_MUTANT_LOG").unwrap();
            // A test may have taken the room on the disk away.
            if let Ok(mut file) = std::fs::OpenOptions::new().append(true).create(true).open(path) {
                let _ = file.write_all(format!("{id}\\n").as_bytes());
            }
        }
    }
    active == id
}
"""


def folder_of(file):
    rest = file.removeprefix("src/")
    return next(name for name in FOLDERS if rest.startswith(name + "/") or rest == name + ".rs")


class Places:
    def __init__(self, args):
        self.source = Path(args.source).resolve()
        self.to = Path(args.to).resolve()
        self.woven = self.to / "woven"
        self.target = self.to / "target"
        self.to.mkdir(parents=True, exist_ok=True)
        self.listed = self.to / "mutants.json"
        self.fate = self.to / "woven.json"
        self.tests = self.to / "tests.json"
        self.results = self.to / "results.jsonl"

    def cargo(self, *args):
        env = dict(os.environ, CARGO_TARGET_DIR=str(self.target), CARGO_BUILD_JOBS="1",
                   CARGO_PROFILE_TEST_OPT_LEVEL="1")
        return subprocess.run(["nice", "-n", "15", "cargo", *args], cwd=self.woven, env=env,
                              stdout=subprocess.PIPE, text=True)


# ---------------------------------------------------------------- list

def list_mutants(places):
    command = ["cargo", "mutants", "--list", "--json", "--diff"]
    for globs in FOLDERS.values():
        for glob in globs:
            command += ["--file", glob]
    out = subprocess.run(command, cwd=places.source, stdout=subprocess.PIPE, text=True, check=True).stdout
    places.listed.write_text(out)
    print(len(json.loads(out)), "mutants")


# ---------------------------------------------------------------- weave

class Weaver:
    """Writes the mutants of one file into it."""

    # Where no call can stand.
    CONST = {"const_item", "static_item", "array_type", "const_block", "enum_variant", "attribute_item"}

    def __init__(self, parser, text):
        self.bytes = text.encode()
        self.tree = parser.parse(self.bytes)
        self.lines = [0]
        for line in self.bytes.split(b"\n"):
            self.lines.append(self.lines[-1] + len(line) + 1)
        self.at = collections.defaultdict(list)  # (kind, start, end) -> [(id, replacement)]
        self.refused = {}

    def place(self, point):
        start = self.lines[point["line"] - 1]
        line = self.bytes[start:self.lines[point["line"]]].decode()
        return start + len(line[: point["column"] - 1].encode())

    def add(self, ident, mutant):
        start, end = self.place(mutant["span"]["start"]), self.place(mutant["span"]["end"])
        reason = self.hang(ident, mutant, start, end)
        if reason:
            self.refused[ident] = reason

    def hang(self, ident, mutant, start, end):
        node = self.tree.root_node.descendant_for_byte_range(start, end)
        up = node
        while up is not None:
            if up.type in self.CONST or (up.type == "function_item" and self.is_const(up)):
                return "const"
            if up.type == "function_item":
                break
            up = up.parent
        genre, new = mutant["genre"], mutant["replacement"]
        if genre == "FnValue":
            if up is None:
                return "no function"
            given = up.child_by_field_name("return_type")
            if given is not None and b"impl " in self.bytes[given.start_byte:given.end_byte]:
                return "impl type"
            body = up.child_by_field_name("body")
            return self.put("body", body, ident, new)
        if genre == "BinaryOperator":
            while node is not None and node.type not in ("binary_expression", "compound_assignment_expr", "let_chain"):
                node = node.parent
            if node is None:
                return "no operands"
            if node.type == "let_chain":
                return "unviable"
            operator = node.child_by_field_name("operator")
            if (operator.start_byte, operator.end_byte) != (start, end):
                return "no operands"
            kind = "assign" if node.type == "compound_assignment_expr" else "binary"
            return self.put(kind, node, ident, new)
        if genre == "UnaryOperator":
            while node is not None and not (node.type == "unary_expression" and node.start_byte == start):
                node = node.parent
            return "no operand" if node is None else self.put("unary", node, ident, new)
        if genre == "MatchArmGuard":
            while node is not None and node.type != "match_arm":
                node = node.parent
            if node is None:
                return "no arm"
            return self.put("guard", node.child_by_field_name("pattern"), ident, new.strip())
        if genre == "MatchArm":
            while node is not None and not (node.type == "match_arm" and node.start_byte <= start
                                            and node.end_byte >= end - 1):
                node = node.parent
            if node is None:
                return "no arm"
            return self.put("arm", node.child_by_field_name("pattern"), ident, new)
        if genre == "StructField":
            node = self.tree.root_node.descendant_for_byte_range(start, start + 1)
            while node is not None and node.type not in ("field_initializer", "shorthand_field_initializer"):
                node = node.parent
            return "no field" if node is None else self.put("field", node, ident, new)
        return genre

    def is_const(self, function):
        before = self.bytes[function.start_byte:function.child_by_field_name("name").start_byte]
        return re.search(rb"\bconst\b", before) is not None

    def put(self, kind, node, ident, new):
        self.at[kind, node.start_byte, node.end_byte].append((ident, new))

    def raw(self, node):
        return self.bytes[node.start_byte:node.end_byte].decode()

    def woven(self):
        return self.render(self.tree.root_node)

    def children(self, node, swap=None):
        """A node's text with its children rendered; `swap` gives some of them another text."""
        if not node.children:
            return self.raw(node)
        out, place = [], node.start_byte
        for child in node.children:
            out.append(self.bytes[place:child.start_byte].decode())
            out.append(swap[child.id] if swap and child.id in swap else self.render(child))
            place = child.end_byte
        out.append(self.bytes[place:node.end_byte].decode())
        return "".join(out)

    def get(self, kind, node):
        return self.at.get((kind, node.start_byte, node.end_byte), ())

    @staticmethod
    def marked(ident, code):
        return f"/*<{ident}*/{code}/*{ident}>*/"

    def render(self, node):
        if node.type in ("line_comment", "block_comment", "token_tree", "macro_invocation"):
            return self.raw(node)
        if node.type == "block" and (here := self.get("body", node)):
            text = self.children(node)
            switches = "".join(
                self.marked(ident, f" if crate::mutant::on({ident}) {{ return {new}; }}") for ident, new in here)
            return "{" + switches + text[1:]
        if node.type in ("binary_expression", "compound_assignment_expr"):
            here = self.get("binary" if node.type == "binary_expression" else "assign", node)
            if here:
                left, right = self.raw(node.child_by_field_name("left")), self.raw(node.child_by_field_name("right"))
                other = " else ".join(
                    self.marked(ident, f"if crate::mutant::on({ident}) {{ {left} {new} {right} }}")
                    for ident, new in here)
                # An attribute or a comment before an operand would swallow nothing: operands are whole nodes.
                return f"({other} else {{ {self.children(node)} }})"
        if node.type == "unary_expression" and (here := self.get("unary", node)):
            operand = self.raw(node.children[-1])
            ident = here[0][0]
            return "(" + self.marked(ident, f"if crate::mutant::on({ident}) {{ {operand} }}") + \
                f" else {{ {self.children(node)} }})"
        if node.type == "match_pattern":
            arm, guards = self.get("arm", node), self.get("guard", node)
            if arm or guards:
                return self.guarded(node, arm, guards)
        if node.type in ("field_initializer", "shorthand_field_initializer") and (here := self.get("field", node)):
            return self.field(node, here[0][0])
        return self.children(node)

    def guarded(self, node, arm, guards):
        condition = node.child_by_field_name("condition")
        pattern_end = condition.start_byte if condition is not None else node.end_byte
        before = self.bytes[node.start_byte:pattern_end].decode()
        tests = []
        if condition is None:
            before += " if "
        for ident, _ in arm:
            tests.append(self.marked(ident, f"!crate::mutant::on({ident})"))
        if condition is not None:
            inner = self.render(condition)
            chain = condition.type in ("let_chain", "let_condition")
            always = [ident for ident, new in guards if new == "true"]
            for ident, new in guards:
                if new == "false":
                    tests.append(self.marked(ident, f"!crate::mutant::on({ident})"))
            if chain:
                for ident in always:
                    self.refused[ident] = "unviable"
                tests.append(inner)
            else:
                on = "".join(self.marked(ident, f"crate::mutant::on({ident})") + " || " for ident in always)
                tests.append(f"({on}({inner}))")
        return before + " && ".join(tests)

    def field(self, node, ident):
        whole = node.parent.parent
        base = next((child for child in node.parent.children if child.type == "base_field_initializer"), None)
        if base is None:
            self.refused[ident] = "no base"
            return self.children(node)
        rest = self.raw(base)[2:].strip()
        if rest == "Default::default()":
            rest = f"<{self.raw(whole.child_by_field_name('name'))} as Default>::default()"
        if node.type == "shorthand_field_initializer":
            name = value = self.raw(node)
        else:
            name = self.raw(node.child_by_field_name("field"))
            value = self.render(node.child_by_field_name("value"))
        return f"{name}: (" + self.marked(ident, f"if crate::mutant::on({ident}) {{ ({rest}).{name}.clone() }}") + \
            f" else {{ {value} }})"


def weave(places):
    import tree_sitter_rust
    from tree_sitter import Language, Parser

    parser = Parser(Language(tree_sitter_rust.language()))
    mutants = json.loads(places.listed.read_text())
    if places.woven.exists():
        shutil.rmtree(places.woven)
    shutil.copytree(places.source, places.woven, ignore=shutil.ignore_patterns("target", ".git"))
    cargo_toml = (places.woven / "Cargo.toml").read_text()
    cargo_toml = re.sub(r"\[lints\.\w+\].*?(?=^\[(?!lints)|\Z)", "", cargo_toml, flags=re.S | re.M)
    # Cleared of the lints, which would look at woven code.
    (places.woven / "Cargo.toml").write_text(cargo_toml)
    (places.woven / "src/mutant.rs").write_text(SWITCH)
    lib = places.woven / "src/lib.rs"
    allowed = "#![allow(warnings, arithmetic_overflow, unconditional_panic, unconditional_recursion)]"
    lib.write_text(lib.read_text().replace("\nmod answers;", f"\n{allowed}\nmod mutant;\nmod answers;", 1))

    by_file = collections.defaultdict(list)
    for ident, mutant in enumerate(mutants):
        by_file[mutant["file"]].append(ident)
    fate = {}  # id -> why it is not there

    def write(file):
        weaver = Weaver(parser, (places.source / file).read_text())
        for ident in by_file[file]:
            if ident not in fate:
                weaver.add(ident, mutants[ident])
        text = weaver.woven()
        fate.update(weaver.refused)
        (places.woven / file).write_text(text)

    for file in by_file:
        write(file)
    print("not woven:", dict(collections.Counter(fate.values())), flush=True)
    for turn in range(40):
        out = places.cargo("check", "--offline", "--lib", "--bins", "--profile", "test", "--message-format", "json").stdout
        errors, dropped = 0, set()
        for line in out.splitlines():
            message = json.loads(line)
            if message.get("reason") != "compiler-message" or message["message"]["level"] != "error":
                continue
            errors += 1
            dropped |= blamed(places, message["message"])
        places.fate.write_text(json.dumps(fate))
        print(f"turn {turn}: {errors} errors, {len(dropped)} mutants dropped", flush=True)
        if not errors:
            break
        if not dropped - set(fate):
            sys.exit("errors that no mutant explains:\n" + "\n".join(
                json.loads(line)["message"]["rendered"] for line in out.splitlines()
                if '"level":"error"' in line)[:4000])
        for ident in dropped:
            fate.setdefault(ident, "unviable")
        for file in {mutants[ident]["file"] for ident in dropped}:
            write(file)
    places.fate.write_text(json.dumps(fate))
    print("fates:", dict(collections.Counter(fate.values())), "woven:", len(mutants) - len(fate))


def blamed(places, message):
    """The mutants whose own code an error points at; else the nearest on its lines."""
    found, near = set(), set()

    def spans(message):
        yield from message["spans"]
        for child in message["children"]:
            yield from spans(child)

    for span in sorted(spans(message), key=lambda span: not span["is_primary"]):
        while span.get("expansion"):
            span = span["expansion"]["span"]
        path = places.woven / span["file_name"]
        if not path.is_file() or not span["file_name"].startswith("src/"):
            continue
        data = path.read_bytes()
        for mark in re.finditer(rb"/\*<(\d+)\*/(.*?)/\*\1>\*/", data, re.S):
            if mark.start() < span["byte_end"] and span["byte_start"] < mark.end():
                inside = mark.start() <= span["byte_start"] and span["byte_end"] <= mark.end()
                (found if inside else near).add(int(mark.group(1)))
        if found:
            return found
    return near


# ---------------------------------------------------------------- build and reach

def build(places):
    out = places.cargo("test", "--offline", "--no-run", "--message-format", "json")
    if out.returncode:
        messages = map(json.loads, filter(lambda line: line.startswith("{"), out.stdout.splitlines()))
        sys.exit("\n".join(message["message"]["rendered"] for message in messages
                           if message.get("message", {}).get("level") == "error"))
    binaries = {}
    for line in out.stdout.splitlines():
        message = json.loads(line)
        if message.get("reason") == "compiler-artifact" and message.get("executable") and message["profile"]["test"]:
            target = message["target"]
            name = "unit" if "lib" in target["kind"] else target["name"]
            if "bin" not in target["kind"] and "bench" not in target["kind"]:
                binaries[name] = message["executable"]
    (places.to / "binaries.json").write_text(json.dumps(binaries))
    print(sorted(binaries))


def surroundings(places, **more):
    env = {name: value for name, value in os.environ.items() if not name.startswith("SKEG_")}
    env.update(CARGO_MANIFEST_DIR=str(places.woven), PROPTEST_RNG_SEED="20261126", PROPTEST_MAX_SHRINK_ITERS="0",
               RUST_BACKTRACE="0", SKEG_LAWS=LAWS, **more)
    return env


def limited():
    os.setsid()
    resource.setrlimit(resource.RLIMIT_DATA, (6 << 30, 6 << 30))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def run_tests(places, binary, tests, patience, env):
    """Runs tests of one binary, one after the other, until one fails: its name, "timeout" or None."""
    process = subprocess.Popen(
        ["nice", "-n", "15", binary, "--test-threads=1", "--exact", *tests], cwd=places.woven, env=env,
        stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, preexec_fn=limited)
    seen = b""
    try:
        with selectors.DefaultSelector() as selector:
            selector.register(process.stdout, selectors.EVENT_READ)
            while True:
                if not selector.select(timeout=patience):
                    running = re.findall(rb"^test (\S+)(?: - should panic)? \.\.\. $", seen.split(b"\n")[-1])
                    return "timeout " + (running[0].decode() if running else "")
                piece = os.read(process.stdout.fileno(), 65536)
                if not piece:
                    break
                seen += piece
                if failed := re.search(rb"^test (\S+).* \.\.\. .*FAILED$", seen, re.M):
                    return failed.group(1).decode()
        return None if process.wait() == 0 else "died"
    finally:
        try:
            os.killpg(process.pid, signal.SIGKILL)
        except ProcessLookupError:
            pass
        process.wait()
        process.stdout.close()
        shutil.rmtree(places.woven / "proptest-regressions", ignore_errors=True)


def reach(places, only=None):
    """Each test alone: how long it takes, whether it passes, which mutants it reaches."""
    binaries = json.loads((places.to / "binaries.json").read_text())
    known = json.loads(places.tests.read_text()) if places.tests.exists() else {}
    log = places.to / "reached.log"
    for suite in sorted(binaries, key=lambda name: (name in SLOW, name)):
        if only and suite not in only or suite == "fuzz":
            continue
        started = time.time()
        listed = subprocess.run([binaries[suite], "--list", "--format", "terse"], stdout=subprocess.PIPE, text=True,
                                cwd=places.woven, env=surroundings(places)).stdout
        names = [line.removesuffix(": test") for line in listed.splitlines() if line.endswith(": test")]
        for name in names:
            if f"{suite} {name}" in known:
                continue
            log.unlink(missing_ok=True)
            before = time.time()
            failed = run_tests(places, binaries[suite], [name], 240,
                               surroundings(places, SKEG_MUTANT_LOG=str(log)))
            reached = sorted(set(map(int, log.read_text().split()))) if log.exists() else []
            known[f"{suite} {name}"] = {"seconds": time.time() - before, "failed": failed, "reached": reached}
            places.tests.write_text(json.dumps(known))
        bad = [key for key, test in known.items() if key.startswith(suite + " ") and test["failed"]]
        print(f"{suite}: {len(names)} tests, {time.time() - started:.0f} s", "failing: " + str(bad) if bad else "",
              flush=True)


# ---------------------------------------------------------------- run

def order(mutants, fate, size, seed):
    """The sample: first `size` over the folders, at least 40 each, then the others, all at random."""
    chance = random.Random(seed)
    strata = collections.defaultdict(list)
    for ident, mutant in enumerate(mutants):
        if str(ident) not in fate:
            strata[folder_of(mutant["file"])].append(ident)
    total = sum(map(len, strata.values()))
    first, rest = [], []
    for name in sorted(strata):
        ids = strata[name]
        chance.shuffle(ids)
        count = min(len(ids), max(40, round(size * len(ids) / total)))
        first += ids[:count]
        rest += ids[count:]
    chance.shuffle(first)
    chance.shuffle(rest)
    return first, rest


def latest(places):
    """The last result of each mutant; a later pass with more tests stands over an earlier one."""
    if not places.results.exists():
        return {}
    return {result["id"]: result for result in map(json.loads, places.results.read_text().splitlines())}


def run(places, minutes, size, seed, below, first_only, budget, without, only):
    end = time.time() + minutes * 60
    mutants = json.loads(places.listed.read_text())
    fate = json.loads(places.fate.read_text())
    binaries = json.loads((places.to / "binaries.json").read_text())
    tests = {key: test for key, test in json.loads(places.tests.read_text()).items()
             if not test["failed"] and test["seconds"] < below and not (without and re.search(without, key))}
    reaching = collections.defaultdict(set)
    for key, test in tests.items():
        for ident in test["reached"]:
            reaching[ident].add(key)
    killers, luck = collections.defaultdict(collections.Counter), collections.defaultdict(lambda: [0, 0])
    known = latest(places)
    for result in known.values():
        killers[mutants[result["id"]]["file"]][result["by"]] += 1
        luck[result["by"]][0] += 1
    first, rest = order(mutants, fate, size, seed)
    with places.results.open("a") as results:
        for place, ident in enumerate(first if first_only else first + rest):
            if only and ident not in only:
                continue
            before = known.get(ident, {"tried": []})
            untried = reaching[ident] - set(before["tried"])
            if before.get("fate") in ("caught", "timeout") or (ident in known and not untried):
                continue
            if time.time() > end:
                break
            file, started = mutants[ident]["file"], time.time()
            result = {"id": ident, "first": place < len(first),
                      **one(places, binaries, tests, untried, killers[file], luck, budget, ident)}
            caught = result["fate"] != "survived"
            result["tried"] = [] if caught else sorted(set(before["tried"]) | set(result["tried"]))
            result["seconds"] = round(time.time() - started, 1)
            killers[file][result["by"]] += 1
            results.write(json.dumps(result) + "\n")
            results.flush()
    print("run so far:", len(latest(places)))


def one(places, binaries, tests, untried, killers, luck, budget, ident):
    """Runs the tests that reach a mutant until one fails: quick ones together, then the others alone."""
    env = surroundings(places, SKEG_MUTANT=str(ident))
    seconds = lambda key: tests[key]["seconds"]
    suite_of = lambda key: key.split(" ", 1)[0]
    # What has caught neighbours first.
    likely = [key for key, _ in killers.most_common(12) if key in untried and seconds(key) < 5][:4]
    batches = [[key] for key in sorted(likely, key=seconds)]
    left = untried - set(likely)
    for least, most in zip([0, *BANDS], BANDS):
        by_suite = collections.defaultdict(list)
        for key in left:
            if least <= seconds(key) < most:
                by_suite[suite_of(key)].append(key)
        batches += sorted(by_suite.values(), key=lambda keys: sum(map(seconds, keys)))
    # The likeliest catch for the time first; tests at a terminal and the like last.
    alone = [key for key in left if seconds(key) >= BANDS[-1]]
    chance = lambda key: (luck[key][0] + 0.5) / (luck[key][1] + 2) / seconds(key)
    batches += [[key] for key in sorted(alone, key=lambda key: (suite_of(key) in SLOW, -chance(key)))]
    tried, spent = [], 0.0
    for keys in batches:
        if spent > budget:
            break
        patience = 4 * max(map(seconds, keys)) + 5
        names = [key.split(" ", 1)[1] for key in keys]
        started = time.time()
        failed = run_tests(places, binaries[suite_of(keys[0])], names, patience, env)
        if failed and suite_of(keys[0]) in SLOW:
            # Tests at a terminal wait for a screen; where the machine is busy one may fail by itself.
            name = failed.removeprefix("timeout ")
            again = [name] if name in names else names
            failed = run_tests(places, binaries[suite_of(keys[0])], again, 2 * patience + 10, env)
        spent += time.time() - started
        tried += keys
        for key in keys:
            luck[key][1] += 1
        if failed:
            kind = "timeout" if failed.startswith("timeout") else "caught"
            by = f"{suite_of(keys[0])} {failed.removeprefix('timeout ')}"
            luck[by][0] += 1
            return {"fate": kind, "by": by, "tried": tried}
    return {"fate": "survived", "by": "", "tried": tried}


# ---------------------------------------------------------------- report

def wilson(hits, count, z=1.96):
    if not count:
        return 0.0, 1.0
    share = hits / count
    middle = (share + z * z / (2 * count)) / (1 + z * z / count)
    half = z * math.sqrt(share * (1 - share) / count + z * z / (4 * count * count)) / (1 + z * z / count)
    return middle - half, middle + half


def report(places):
    mutants = json.loads(places.listed.read_text())
    fate = json.loads(places.fate.read_text())
    tests = json.loads(places.tests.read_text())
    results = list(latest(places).values())
    reached = {ident for test in tests.values() for ident in test["reached"]}
    print(f"{'folder':12} {'all':>5} {'outside':>7} {'unviable':>8} {'woven':>5} {'unreached':>9} "
          f"{'run':>5} {'caught':>6} {'survived':>8}  share caught (95 %)")
    whole, spread = 0.0, 0.0
    woven_all = len(mutants) - len(fate)
    sums = collections.Counter()
    for name in FOLDERS:
        ids = [ident for ident, mutant in enumerate(mutants) if folder_of(mutant["file"]) == name]
        unviable = sum(fate.get(str(ident)) == "unviable" for ident in ids)
        outside = sum(str(ident) in fate for ident in ids) - unviable
        woven = [ident for ident in ids if str(ident) not in fate]
        ran = [result for result in results if folder_of(mutants[result["id"]]["file"]) == name]
        caught = sum(result["fate"] in ("caught", "timeout") for result in ran)
        low, high = wilson(caught, len(ran))
        share = caught / max(1, len(ran))
        weight = len(woven) / woven_all
        whole += weight * share
        spread += weight ** 2 * share * (1 - share) / max(1, len(ran)) * (1 - len(ran) / max(1, len(woven)))
        row = dict(all=len(ids), outside=outside, unviable=unviable, woven=len(woven),
                   unreached=sum(ident not in reached for ident in woven), run=len(ran), caught=caught,
                   survived=len(ran) - caught)
        sums.update(row)
        print(f"{name:12} {row['all']:5} {outside:7} {unviable:8} {len(woven):5} {row['unreached']:9} {len(ran):5} "
              f"{caught:6} {row['survived']:8}  {share:.1%} ({low:.1%} to {high:.1%})")
    half = 1.96 * math.sqrt(spread)
    print(f"{'all':12} {sums['all']:5} {sums['outside']:7} {sums['unviable']:8} {sums['woven']:5} "
          f"{sums['unreached']:9} {sums['run']:5} {sums['caught']:6} {sums['survived']:8}  "
          f"{whole:.1%} ({whole - half:.1%} to {whole + half:.1%}), folders weighted")
    print("timeouts among caught:", sum(result["fate"] == "timeout" for result in results))
    left = [result for result in results if result["fate"] == "survived"]
    left.sort(key=lambda result: (mutants[result["id"]]["file"], mutants[result["id"]]["span"]["start"]["line"]))
    with (places.to / "left.txt").open("w") as out:
        for result in left:
            out.write(f"[{result['id']}] {mutants[result['id']]['name']}{'' if result['id'] in reached else '  (unreached)'}\n")
    with (places.to / "unreached.txt").open("w") as out:
        for ident, mutant in enumerate(mutants):
            if str(ident) not in fate and ident not in reached:
                out.write(f"[{ident}] {mutant['name']}\n")


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("steps", nargs="+", choices=["all", "list", "weave", "build", "reach", "run", "report"])
    parser.add_argument("--from", dest="source", default=str(HERE.parents[1]), help="the project")
    parser.add_argument("--to", default=str(HERE.parents[1] / "target/mutants"), help="everything that is made")
    parser.add_argument("--minutes", type=float, default=40)
    parser.add_argument("--sample", type=int, default=500)
    parser.add_argument("--seed", type=int, default=20261126)
    parser.add_argument("--below", type=float, default=60, help="for run: only tests that take less, in seconds")
    parser.add_argument("--only", help="for run: only these mutants, with commas")
    parser.add_argument("--without", help="for run: leave out tests whose suite and name match")
    parser.add_argument("--budget", type=float, default=600, help="for run: seconds for one mutant in one pass")
    parser.add_argument("--first", action="store_true", help="for run: no more than the sample")
    parser.add_argument("--suites", help="for reach: only these, with commas")
    args = parser.parse_args()
    places = Places(args)
    steps = ["list", "weave", "build", "reach", "run", "report"] if "all" in args.steps else args.steps
    for step in steps:
        if step == "list":
            list_mutants(places)
        elif step == "weave":
            weave(places)
        elif step == "build":
            build(places)
        elif step == "reach":
            reach(places, args.suites and args.suites.split(","))
        elif step == "run":
            run(places, args.minutes, args.sample, args.seed, args.below, args.first, args.budget, args.without,
                {int(ident) for ident in args.only.split(",")} if args.only else None)
        else:
            report(places)


if __name__ == "__main__":
    main()
