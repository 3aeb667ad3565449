#!/usr/bin/env python3
"""skeg beside a Python script that comes to the same money and writes a paper of it (json, numpy, scipy, jinja2),
and its costs beside numpy's transform and a million drawn samples.

    pip install numpy scipy jinja2
    cargo build --release && python3 tests/bench/beside.py target/release/skeg

The script is tests/outside/recompute.py, which starts from the findings skeg has found: it is spared the questions,
the conditions and the measures. Its paper is shorter. So the ratio is on the low side.
"""
import json
import pathlib
import resource
import subprocess
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
EXAMPLE = ROOT / "examples/milky-gearcase.json"
SAMPLES = 1_000_000
RUNS = 7
PAPER = """# Seen on {{ date }}

**{{ verdict.call }}: {{ verdict.because|join(", ") }}**

| Money | |
| --- | ---: |
{% for name, sum in rows %}| {{ name }} | {{ "%.0f"|format(sum) }} |
{% endfor %}
{% for finding in findings %}## {{ finding.title }} ({{ finding.grade }})

{% for name in finding.answers %}- {{ name }}: {{ said.get(name, "not asked") }}
{% endfor %}
{% endfor %}## What may be wrong

{% for fault, chance in chances %}- {{ fault }}: {{ "%.0f"|format(100 * chance) }} %
{% endfor %}
## From adverts to the ceiling

{% for what, sum in steps %}- {{ what }}: {{ sum }}
{% endfor %}"""


def the_script(kept):
    """What a run of the script does: read, work out, write. Ran in a process of its own."""
    import jinja2

    reckoned, printed = reckon_file(kept)
    found = reckoned["money"]
    rows = [(name, sum) for name, sum in found.items() if isinstance(sum, (int, float)) and not isinstance(sum, bool)]
    print(jinja2.Environment(autoescape=False).from_string(PAPER).render(
        date=printed["date"], verdict=printed["verdict"], said={step["id"]: step.get("value", step["state"]) for step in printed["path"]}, findings=printed["findings"], rows=rows,
        chances=sorted(reckoned["chances"].items(), key=lambda pair: -pair[1]), steps=found.get("waterfall") or []))


def outside():
    sys.path.insert(0, str(ROOT / "tests/outside"))
    import recompute

    return recompute


def reckon_file(kept):
    recompute = outside()
    printed = json.loads(pathlib.Path(kept).read_text())
    return recompute.reckon(recompute.Interview(recompute.Data(ROOT / "questions"), printed)), printed


def cpu(command):
    """Least CPU seconds of one run, its children's included."""
    took = []
    for _ in range(RUNS):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        done = subprocess.run(command, capture_output=True, text=True)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        if done.returncode:
            sys.exit(done.stderr[-800:])
        took.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return min(took)


def costs(kept):
    """The distribution of what it may cost, by convolution and by drawing, held against what skeg printed."""
    import numpy

    recompute = outside()
    printed = json.loads(pathlib.Path(kept).read_text())
    case = recompute.Interview(recompute.Data(ROOT / "questions"), printed)
    lines = list(case.lines(case.chances(case.fired, case.view, case.wear, 1), case.sure_items()).values())
    other = case.money("other-costs") or 0.0
    shares = [(0.1, "p10"), (0.5, "p50"), (0.9, "p90")]
    theirs = printed["money"]["cost"]
    row("skeg, as printed", None, theirs["mean"], [theirs[name] for _, name in shares])

    begun = time.perf_counter()
    total = recompute.Total([size for _, size in lines] + [[other] * 3])
    sums, weights = total.of([chance for chance, _ in lines] + [1.0])
    took = time.perf_counter() - begun
    row("numpy, transform", took, float((sums * weights).sum()), [recompute.quantile(sums, weights, share) for share, _ in shares])

    dice = numpy.random.default_rng(1)
    begun = time.perf_counter()
    drawn = numpy.full(SAMPLES, other)
    for chance, (low, likely, high) in lines:
        struck = dice.random(SAMPLES) < chance
        if high - low > 1e-12:
            a, b = 1 + 4 * (likely - low) / (high - low), 1 + 4 * (high - likely) / (high - low)
            drawn[struck] += low + (high - low) * dice.beta(a, b, int(struck.sum()))
        else:
            drawn[struck] += likely
    mean, quantiles = float(drawn.mean()), numpy.quantile(drawn, [share for share, _ in shares])
    row(f"numpy, {SAMPLES:,} drawn", time.perf_counter() - begun, mean, [float(one) for one in quantiles])


def row(name, seconds, mean, quantiles):
    took = f"{seconds * 1000:9.1f}" if seconds is not None else f"{'':9}"
    print(f"{name:26}{took}{mean:10.1f}" + "".join(f"{one:10.1f}" for one in quantiles))


def main():
    skeg = str(pathlib.Path(sys.argv[1]).resolve())
    with tempfile.TemporaryDirectory() as folder:
        kept = pathlib.Path(folder) / "printed.json"
        done = subprocess.run([skeg, "replay", str(EXAMPLE), "--format", "json"], capture_output=True, text=True, check=True)
        kept.write_text(done.stdout)
        own = cpu([skeg, "replay", str(EXAMPLE)])
        theirs = cpu([sys.executable, __file__, "--script", str(kept)])
        print(f"CPU of one run: skeg {own * 1000:.0f} ms, the script {theirs * 1000:.0f} ms, {theirs / own:.0f} times")
        print(f"\n{'what it may cost':26}{'ms':>9}{'mean':>10}{'1 in 10':>10}{'half':>10}{'9 in 10':>10}")
        costs(kept)


if sys.argv[1] == "--script":
    the_script(sys.argv[2])
else:
    main()
