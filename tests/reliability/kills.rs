//! Kills at any moment: what stood on the screen as taken is in the file, and the file is whole.
#![cfg(unix)]

use std::fs;
use std::io::{Read, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

use portable_pty::{CommandBuilder, PtySize, native_pty_system};
use skeg::{Condition, Store};

use crate::support::knowledge;
use crate::times;

/// Words nobody needs to understand: each is a note, and shown once it is kept.
fn note(number: usize) -> String {
    format!("n mark-{number}-end")
}

/// The last note that stands on the screen as noted.
fn last_noted(screen: &str) -> Option<usize> {
    let noted = screen.rsplit_once("Noted.")?.0;
    let (_, after) = noted.rsplit_once("n mark-")?;
    after.split_once("-end")?.0.parse().ok()
}

/// After a kill: the file is whole and holds what was shown as taken; nothing is left lying about once it is opened.
fn nothing_is_lost(home: &Path, screen: &str) -> bool {
    let store = Store::at(home.to_owned());
    let Ok(found) = store.find("kim", knowledge()) else {
        // Killed before the first save: then nothing was shown as taken.
        return last_noted(screen).is_none();
    };
    assert_eq!(found.condition, Condition::Whole, "after: {screen}");
    let Some(shown) = last_noted(screen) else { return true };
    let saved = found.saved.unwrap();
    let first = saved.record.entries().find_map(|(_, answer)| answer.note.clone()).unwrap_or_default();
    let kept: usize = first.trim_start_matches("mark-").trim_end_matches("-end").parse().unwrap_or(0);
    assert!(kept >= shown, "shown {shown}, kept {kept}");
    true
}

/// A moment that differs from run to run, over the time a save takes.
fn moment(run: usize) -> Duration {
    Duration::from_micros(((run * 7919) % 30_000) as u64)
}

fn swept(home: &Path) {
    let store = Store::at(home.to_owned());
    drop(store.hold("kim").unwrap());
    let left: Vec<String> = fs::read_dir(home)
        .unwrap()
        .map(|file| file.unwrap().file_name().to_string_lossy().into_owned())
        .filter(|name| name.ends_with(".skeg-new"))
        .collect();
    assert!(left.is_empty(), "{left:?}");
}

#[test]
fn killed_while_lines_come_through_a_pipe() {
    let runs = times(20, 500);
    for run in 0..runs {
        let home = tempfile::tempdir().unwrap();
        let mut child = Command::new(env!("CARGO_BIN_EXE_skeg"))
            .args(["start", "kim", "--plain"])
            .env("SKEG_HOME", home.path())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let lines: String = (1..400).map(|number| note(number) + "\n").collect();
        let mut input = child.stdin.take().unwrap();
        let writes = std::thread::spawn(move || drop(input.write_all(lines.as_bytes())));
        let mut output = child.stdout.take().unwrap();
        // Wait until it is at it, then a moment more.
        let mut screen = vec![0; 3000];
        let mut seen = 0;
        while seen < screen.len() {
            match output.read(&mut screen[seen..]) {
                Ok(count @ 1..) => seen += count,
                _ => break,
            }
        }
        std::thread::sleep(moment(run));
        child.kill().unwrap();
        screen.truncate(seen);
        output.read_to_end(&mut screen).unwrap();
        child.wait().unwrap();
        writes.join().unwrap();
        assert!(nothing_is_lost(home.path(), &String::from_utf8_lossy(&screen)));
        swept(home.path());
    }
    println!("{runs} kills through a pipe, nothing lost");
}

#[test]
fn killed_in_a_terminal() {
    let runs = times(10, 500);
    for run in 0..runs {
        let home = tempfile::tempdir().unwrap();
        let size = PtySize { rows: 24, cols: 80, pixel_width: 0, pixel_height: 0 };
        let pair = native_pty_system().openpty(size).unwrap();
        let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_skeg"));
        command.args(["start", "kim", "--plain"]);
        command.env("SKEG_HOME", home.path());
        command.env("TERM", "xterm-256color");
        let mut child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let mut reader = pair.master.try_clone_reader().unwrap();
        let (sends, screen) = std::sync::mpsc::channel();
        let reads = std::thread::spawn(move || {
            let mut bytes = [0; 4096];
            while let Ok(count @ 1..) = reader.read(&mut bytes) {
                let _ = sends.send(bytes[..count].to_vec());
            }
        });
        let mut writer = pair.master.take_writer().unwrap();
        let mut seen = Vec::new();
        let until = |seen: &mut Vec<u8>, text: &str| {
            while !String::from_utf8_lossy(seen).contains(text) {
                seen.extend(screen.recv_timeout(Duration::from_secs(60)).expect("it goes on"));
            }
        };
        until(&mut seen, "\n> ");
        for number in 1..=1 + run % 3 {
            writer.write_all((note(number) + "\n").as_bytes()).unwrap();
            until(&mut seen, &format!("mark-{number}-end"));
            // The last one is killed at any moment; those before have to be through, or their lines would mix.
            if number < 1 + run % 3 {
                until(&mut seen, &format!("Your note: mark-{number}-end"));
            }
        }
        std::thread::sleep(moment(run) / 4);
        child.kill().unwrap();
        let _ = child.wait();
        drop(writer);
        drop(pair.master);
        let _ = reads.join();
        while let Ok(more) = screen.try_recv() {
            seen.extend(more);
        }
        assert!(nothing_is_lost(home.path(), &String::from_utf8_lossy(&seen)));
        swept(home.path());
    }
    println!("{runs} kills in a terminal, nothing lost");
}
