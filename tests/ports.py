"""What the Windows program does under wine, beside the program of this system: papers, talks in plain lines, a console.

    python3 tests/ports.py WINE SKEG.EXE SKEG [papers] [plain] [console]

Ends with 1 and says what differs. tests/ports.sh builds both and calls it.
"""

import json
import os
import pathlib
import pty
import re
import select
import signal
import subprocess
import sys
import tempfile
import time

WINE, EXE, HERE = sys.argv[1:4]
PATIENCE = 60
wrong = []


def check(what, holds, more=""):
    print(("holds: " if holds else "WRONG: ") + what + ("" if holds else f"\n{more}"), flush=True)
    if not holds:
        wrong.append(what)


def surroundings(home):
    env = dict(os.environ, NO_COLOR="1", COLUMNS="80", TERM="xterm", SKEG_HOME=str(home))
    for name in ("VISUAL", "EDITOR"):
        env.pop(name, None)
    return env


def there(home):
    """A folder as Windows names it, where wine shows the root of this system."""
    return "Z:" + str(home).replace("/", "\\")


def run(program, home, *words, said=b""):
    ran = subprocess.run([*program, *words], input=said, env=surroundings(home), capture_output=True, timeout=PATIENCE)
    return ran.returncode, ran.stdout


def both(folder, *words, said=b""):
    """The same on both, each in its own folder: status and what was printed."""
    ours, theirs = folder / "here", folder / "there"
    one = run([HERE], ours, *words, said=said)
    other = run([WINE, EXE], there(theirs), *words, said=said)
    named = other[1].replace(there(theirs).encode(), str(ours).encode())
    return one, (other[0], re.sub(rb"(here[^\s]*)\\", rb"\1/", named))


def near(one, other):
    """Numbers in full length differ in their last digits, as the systems' exponentials and logarithms do."""
    if isinstance(one, dict) and isinstance(other, dict):
        return list(one) == list(other) and all(near(one[key], other[key]) for key in one)
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(near, one, other))
    if isinstance(one, float) and isinstance(other, float):
        return abs(one - other) <= 1e-11 * max(abs(one), abs(other), 1)
    return one == other


def papers(folder):
    kinds = [("buyer", "markdown"), ("buyer", "html"), ("buyer", "json"), ("mechanic", "markdown"),
             ("mechanic", "html"), ("seller", "markdown")]
    for example in sorted(pathlib.Path("examples").glob("*.json")):
        for reader, form in kinds:
            one, other = both(folder, "replay", str(example), "--for", reader, "--format", form)
            same = one == other or form == "json" and one[0] == other[0] and near(json.loads(one[1]), json.loads(other[1]))
            check(f"{example.stem} for the {reader} in {form}: {len(one[1])} bytes", same and one[0] == 0,
                  f"{one[0]} and {other[0]}, {len(one[1])} and {len(other[1])} bytes")
    sheet, other = both(folder, "sheet")
    check("the field sheet", sheet == other)


def saved(folder, side, name="kim"):
    return json.loads((folder / side / f"{name}.json").read_text(encoding="utf-8"))


def plain(folder):
    talks = [
        ("start, two answers, stop", ["start", "kim"], b"monohull\r\n20 km\r\n.\r\n"),
        ("carry on, end of the lines", ["resume", "kim"], b"?\n"),
        ("change an answer", ["change", "kim", "boat-kind"], b"inflatable\r\ny\r\n.\r\n"),
        ("the list", ["list"], b""),
        ("the report", ["report", "kim"], b""),
        ("the next look", ["next", "kim"], b""),
        ("a name a system keeps", ["start", "con"], b""),
        ("wrong usage", ["report"], b""),
    ]
    for what, words, said in talks:
        one, other = both(folder, *words, said=said)
        check(f"{what}: status {one[0]}, {len(one[1])} bytes", one == other, f"{one}\n{other}")
    one, other = saved(folder, "here"), saved(folder, "there")
    check("the saved interview", one == other, f"{one}\n{other}")
    answers = folder / "dos.json"
    text = pathlib.Path("examples/milky-gearcase.json").read_text(encoding="utf-8")
    answers.write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    with_mark = run([WINE, EXE], there(folder / "there"), "replay", there(answers))
    without = run([HERE], folder / "here", "replay", "examples/milky-gearcase.json")
    check("an answers file as Windows editors write it", with_mark == without)
    paper = folder / "there" / "paper.md"
    for time_ in ("first", "second"):
        ran = run([WINE, EXE], there(folder / "there"), "report", "kim", "-o", there(paper))
        check(f"a paper written the {time_} time", ran[0] == 0 and b"\r" not in paper.read_bytes())


class Console:
    """A console window with the program in it: what was written so far, keys."""

    def __init__(self, home, *words):
        self.said = ""
        self.process, self.terminal = pty.fork()
        if self.process == 0:
            os.execvpe(WINE, [WINE, EXE, *words], surroundings(there(home)))
        import fcntl
        import struct
        import termios
        fcntl.ioctl(self.terminal, termios.TIOCSWINSZ, struct.pack("HHHH", 30, 90, 0, 0))

    def until(self, words):
        """Waits for these words, whatever blanks and cursor moves stand between them."""
        ends = time.monotonic() + PATIENCE
        while words.replace(" ", "") not in self.flat():
            if time.monotonic() > ends or not self.more():
                raise AssertionError(f"{words!r} did not come: {self.flat()[-1500:]!r}")
        self.said = ""
        time.sleep(0.5)
        return self

    def flat(self):
        return re.sub(r"\x1b\[[0-9;?]*[A-Za-z]|\x1b\][^\x07]*\x07|\s", "", self.said)

    def more(self):
        if select.select([self.terminal], [], [], 1)[0]:
            try:
                self.said += os.read(self.terminal, 65536).decode("utf-8", "replace")
            except OSError:
                return False
        return True

    def press(self, keys):
        os.write(self.terminal, keys.encode())
        return self

    def ends(self):
        ends = time.monotonic() + PATIENCE
        while self.more():
            done, status = os.waitpid(self.process, os.WNOHANG)
            if done:
                return os.waitstatus_to_exitcode(status)
            if time.monotonic() > ends:
                os.kill(self.process, signal.SIGKILL)
                raise AssertionError(f"it did not end: {self.flat()[-1500:]!r}")
        return os.waitstatus_to_exitcode(os.waitpid(self.process, 0)[1])


def kept(home):
    text = (home / "kim.json").read_text(encoding="utf-8")
    return json.loads(text)["answers"]


def console(folder):
    # Not Ctrl-Z: wine hands it on from a terminal of this system neither as a key nor as the end of the lines.
    down, ctrl_c = "\x1b[B", "\x03"
    ways = {
        "Ctrl-C in a plain line": (["start", "kim", "--plain"], lambda window: window.press("half").press(ctrl_c), 130),
        "Ctrl-C in a line": (["start", "kim"], lambda window: window.press("half").press(ctrl_c), 130),
        "Ctrl-C in a list": (["start", "kim"], lambda window: window.press(down).until("Enter takes").press(ctrl_c), 130),
        "Esc from a list, then stop":
            (["start", "kim"], lambda window: window.press(down).until("Enter takes").press("\x1b").until(">").press(".\r"), 0),
        "a slip mended": (["start", "kim"], lambda window: window.press("20 kmm\x7f\r").until(">").press(".\r"), 0),
    }
    for place, (what, (words, leave, status)) in enumerate(ways.items()):
        home = folder / f"console-{place}"
        home.mkdir()
        try:
            window = Console(home, *words)
            window.until("What kind of boat").press("monohull\r").until("How far")
            leave(window)
            ended = window.ends()
            answers = kept(home)
            check(f"{what}: status {ended}, {len(answers)} kept", ended == status and "boat-kind" in json.dumps(answers),
                  f"status {ended}, not {status}; {answers}; {window.flat()[-800:]!r}")
        except (AssertionError, OSError, ValueError) as problem:
            check(what, False, str(problem))


def main():
    with tempfile.TemporaryDirectory() as folder:
        parts = [part for part in (papers, plain, console) if not sys.argv[4:] or part.__name__ in sys.argv[4:]]
        for part in parts:
            print(f"\n== {part.__name__}", flush=True)
            place = pathlib.Path(folder) / part.__name__
            (place / "here").mkdir(parents=True)
            (place / "there").mkdir()
            part(place)
    if wrong:
        sys.exit(f"\n{len(wrong)} things are wrong")


main()
