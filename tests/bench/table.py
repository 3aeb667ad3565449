#!/usr/bin/env python3
"""What skeg costs, as a table: instructions (valgrind's callgrind, free of noise) beside a bare program built alike,
peak memory, growth with the number of questions, and the time from a key to the next prompt.

    cargo build --release && python3 tests/bench/table.py target/release/skeg
    python3 tests/bench/table.py target/debug/skeg --guard     # only the counts that CI guards, against their bounds

What a machine lacks is named and left out. Timings belong to the machine they were taken on; counts hardly do.
"""
import json
import os
import pathlib
import pty
import re
import select
import shutil
import statistics
import subprocess
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
EXAMPLE = str(ROOT / "examples/milky-gearcase.json")
# Millions of instructions of an unoptimised build that a start may take: about half as much again as it did when
# this was written. A change that makes every start re-read what it need not is far beyond.
BOUNDS = {"first question": 200, "replay to Markdown": 1050, "next": 870, "list of 20": 170}


def run(command, home, text=""):
    env = {**os.environ, "SKEG_HOME": str(home), "NO_COLOR": "1"}
    return subprocess.run(command, input=text, capture_output=True, text=True, env=env)


def instructions(command, home, text=""):
    """Millions of instructions of one run."""
    with tempfile.NamedTemporaryFile() as out:
        valgrind = ["valgrind", "--tool=callgrind", f"--callgrind-out-file={out.name}"]
        told = run(valgrind + command, home, text).stderr
    found = re.search(r"refs:\s+([\d,]+)", told)
    if not found:
        sys.exit(f"no count of {' '.join(command)}: {told[-300:]}")
    return int(found[1].replace(",", "")) / 1e6


def peak(command, home, text=""):
    """Peak memory of one run in MB, as the system counts it while the run lasts; none where it can't be seen."""
    env = {**os.environ, "SKEG_HOME": str(home), "NO_COLOR": "1"}
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    program = os.readlink("/proc/self/exe")
    most = 0
    for _ in range(5):
        running = subprocess.Popen(command, stdin=subprocess.DEVNULL, env=env, **quiet)
        while running.poll() is None:
            try:
                # Until it has begun it is still this script.
                if os.readlink(f"/proc/{running.pid}/exe") != program:
                    status = pathlib.Path(f"/proc/{running.pid}/status").read_text()
                    most = max(most, *(int(line.split()[1]) for line in status.splitlines() if line.startswith("VmHWM")), 0)
            except (OSError, ValueError, TypeError):
                pass
        (home / "fresh.json").unlink(missing_ok=True)
    return most / 1024


def interviews(skeg, home, count):
    for number in range(count):
        run([skeg, "start", f"motor-{number}", "--plain"], home, "1\n20 in\n")


def commands(skeg, home):
    return [
        ("--version", [skeg, "--version"], ""),
        ("first question", [skeg, "start", "fresh", "--plain"], ""),
        ("replay to Markdown", [skeg, "replay", EXAMPLE], ""),
        ("replay to HTML", [skeg, "replay", EXAMPLE, "--format", "html"], ""),
        ("replay to JSON", [skeg, "replay", EXAMPLE, "--format", "json"], ""),
        ("next", [skeg, "next", "motor-0"], ""),
        ("questions check", [skeg, "questions", "check"], ""),
    ]


def counts(skeg, work):
    home = work / "counts"
    home.mkdir()
    interviews(skeg, home, 1)
    bare = bare_program(work)
    hello = instructions([bare], home) if bare else None
    print(f"{'command':24}{'M instructions':>15}{'times bare':>12}{'peak MB':>9}")
    if hello:
        print(f"{'a bare program':24}{hello:15.2f}{1:12.0f}{peak([bare], home):9.1f}")
    for name, command, text in commands(skeg, home):
        row(name, command, home, text, hello)
    for count in (0, 100, 1000):
        listed = work / f"list-{count}"
        listed.mkdir()
        interviews(skeg, listed, count)
        row(f"list of {count}", [skeg, "list"], listed, "", hello)


def row(name, command, home, text, hello):
    million = instructions(command, home, text)
    (home / "fresh.json").unlink(missing_ok=True)
    times = f"{million / hello:12.0f}" if hello else f"{'':12}"
    print(f"{name:24}{million:15.1f}{times}{peak(command, home, text):9.1f}", flush=True)
    (home / "fresh.json").unlink(missing_ok=True)


def bare_program(work):
    if not shutil.which("rustc"):
        print("no rustc: nothing to hold it against")
        return None
    source = work / "bare.rs"
    source.write_text('fn main() { println!("hello"); }')
    subprocess.run(["rustc", "-O", "-o", str(work / "bare"), str(source)], check=True)
    return str(work / "bare")


def guard(skeg, work):
    home = work / "guard"
    home.mkdir()
    interviews(skeg, home, 20)
    wanted = {name: (command, text) for name, command, text in commands(skeg, home)}
    wanted["list of 20"] = ([skeg, "list"], "")
    over = False
    for name, bound in BOUNDS.items():
        million = instructions(*[wanted[name][0], home, wanted[name][1]])
        over |= million > bound
        print(f"{name:24}{million:10.0f} M instructions, at most {bound}{'   TOO MANY' if million > bound else ''}")
    return over


def growth(skeg, work):
    print(f"\n{'questions':>10}{'load and judge, s':>20}")
    for count in (0, 850, 9850):
        folder = work / f"grown-{count}"
        run([skeg, "questions", "copy", str(folder)], work)
        grow(folder, count)
        times = []
        for _ in range(3):
            begun = time.perf_counter()
            done = run([skeg, "--questions", str(folder), "replay", EXAMPLE, "--format", "json"], work)
            times.append(time.perf_counter() - begun)
            if done.returncode:
                sys.exit(done.stderr[:500])
        print(f"{152 + count:>10}{min(times):20.3f}", flush=True)


def grow(folder, count):
    """Puts so many plain questions into stages of their own."""
    visit = json.loads((folder / "visit.json").read_text())
    for stage in range(-(-count // 50)):
        name = f"more-{stage}"
        choices = [{"id": f"c{place}", "label": f"choice {place}", "words": []} for place in range(4)]
        questions = [
            {"id": f"more-{stage}-{place}", "kind": {"one": choices}, "ask": "Which one is it?", "brief": "one more",
             "why": "To see how it grows.", "how": ["Look."], "place": "home", "minutes": 1}
            for place in range(min(50, count - 50 * stage))
        ]
        about = {"id": name, "title": name, "about": "More of the same."}
        text = json.dumps({"stage": about, "questions": questions, "findings": []})
        (folder / f"50-{stage:04}.json").write_text(text)
        visit["visit"]["sheet"][1]["stages"].append(name)
    (folder / "visit.json").write_text(json.dumps(visit))


def keys(skeg, work):
    """From a typed answer to the next prompt, in a pseudo-terminal, saving to memory where that can be had."""
    memory = pathlib.Path("/dev/shm")
    home = pathlib.Path(tempfile.mkdtemp(dir=memory if memory.is_dir() else work))
    child, terminal = pty.fork()
    if child == 0:
        os.environ.update(SKEG_HOME=str(home), NO_COLOR="1", TERM="xterm")
        os.execv(skeg, [skeg, "start", "keys"])
    settle(terminal)
    times = []
    for answer in ["-\r"] * 40:
        begun = time.perf_counter()
        os.write(terminal, answer.encode())
        last = settle(terminal)
        times.append((last - begun) * 1000)
    os.close(terminal)
    shutil.rmtree(home, ignore_errors=True)
    times.sort()
    middle, late = statistics.median(times), times[int(len(times) * 0.95)]
    print(f"\nfrom a typed answer to the last letter of the next screen: median {middle:.1f} ms, 95 % {late:.1f} ms")


def settle(terminal):
    """Reads until nothing has come for a while; when the last of it came."""
    last = time.perf_counter()
    while select.select([terminal], [], [], 0.25)[0]:
        try:
            if not os.read(terminal, 65536):
                break
        except OSError:
            break
        last = time.perf_counter()
    return last


def main():
    skeg = str(pathlib.Path(sys.argv[1]).resolve())
    if not shutil.which("valgrind"):
        sys.exit("no valgrind here: nothing was counted")
    with tempfile.TemporaryDirectory() as folder:
        work = pathlib.Path(folder)
        if "--guard" in sys.argv:
            sys.exit(guard(skeg, work))
        counts(skeg, work)
        growth(skeg, work)
        keys(skeg, work)


main()
