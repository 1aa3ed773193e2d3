//! The child as its parent sees it.

use std::collections::VecDeque;
use std::ffi::OsStr;
use std::io::{BufReader, Read};
use std::os::unix::process::{CommandExt, ExitStatusExt};
use std::path::Path;
use std::process::{Child, ChildStdin, ChildStdout, Command, ExitStatus, Stdio};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError, Sender};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::Duration;

use rustix::process::{Pid, Signal, kill_process_group};

use crate::bounds::{Bounds, KEPT, LAST_WORDS};
use crate::fault::Fault;
use crate::frame::{Frame, NoFrame};
use crate::inside::WORD;

/// A running child. Nothing waits on a pipe but threads of their own, so no child can hold up its parent.
#[derive(Debug)]
pub(crate) struct Process {
    child: Child,
    questions: Sender<Frame>,
    answers: Receiver<Result<Frame, NoFrame>>,
    said: Arc<Mutex<VecDeque<u8>>>,
    said_all: Receiver<()>,
    number: u64,
    reply: usize,
    ended: bool,
}

impl Process {
    /// Starts `program` as the child that hosts the library at `path`.
    pub(crate) fn start(program: &Path, path: &Path, bounds: &Bounds) -> Result<Self, Fault> {
        let not_started = |why: std::io::Error| Fault::NotStarted(why.to_string());
        let mut child = Command::new(program)
            .args([OsStr::new(WORD), path.as_os_str(), OsStr::new(&bounds.memory.to_string())])
            .env_clear()
            .current_dir("/")
            .process_group(0)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .map_err(not_started)?;
        let (questions, asked) = mpsc::channel();
        let (answer, answers) = mpsc::channel();
        let (silent, said_all) = mpsc::channel();
        let said = Arc::default();
        if let (Some(stdin), Some(stdout), Some(stderr)) = (child.stdin.take(), child.stdout.take(), child.stderr.take()) {
            let (kept, most) = (Arc::clone(&said), bounds.reply);
            thread::spawn(move || write_questions(stdin, &asked));
            thread::spawn(move || read_answers(stdout, &answer, most));
            thread::spawn(move || {
                keep_last(stderr, &kept);
                drop(silent);
            });
        }
        Ok(Self { child, questions, answers, said, said_all, number: 0, reply: bounds.reply, ended: false })
    }

    /// Asks one question. After a fault the child is of no more use; drop it.
    pub(crate) fn ask(&mut self, question: Vec<u8>, within: Duration, when: &'static str) -> Result<Vec<u8>, Fault> {
        self.number += 1;
        // A child that is gone takes no questions; then no answer comes either.
        let _ = self.questions.send(Frame { number: self.number, bytes: question });
        match self.answers.recv_timeout(within) {
            Ok(Ok(frame)) if frame.number == self.number => Ok(frame.bytes),
            Ok(Ok(_) | Err(NoFrame::Garbled)) => Err(Fault::Garbled),
            Ok(Err(NoFrame::TooLarge)) => Err(Fault::TooLarge(self.reply)),
            Err(RecvTimeoutError::Timeout) => Err(Fault::TooLong(within)),
            Ok(Err(NoFrame::End)) | Err(RecvTimeoutError::Disconnected) => Err(self.last_words(when)),
        }
    }

    /// How it ended, and what it wrote last.
    fn last_words(&mut self, when: &'static str) -> Fault {
        let how = self.end().map_or_else(|| "nobody knows how".to_owned(), how);
        // Ends when the other side of the pipe is closed; a grandchild that got away may keep it open.
        let _ = self.said_all.recv_timeout(LAST_WORDS);
        let mut said = self.said.lock().unwrap_or_else(PoisonError::into_inner);
        Fault::Ended { when, how, said: last_lines(said.make_contiguous()) }
    }

    /// Ends it and all that it started. The group is ended before the child is waited for: until then nobody else can have
    /// its number.
    fn end(&mut self) -> Option<ExitStatus> {
        if !std::mem::replace(&mut self.ended, true)
            && let Some(group) = i32::try_from(self.child.id()).ok().and_then(Pid::from_raw)
        {
            let _ = kill_process_group(group, Signal::KILL);
        }
        self.child.wait().ok()
    }
}

impl Drop for Process {
    fn drop(&mut self) {
        self.end();
    }
}

fn write_questions(mut to: ChildStdin, asked: &Receiver<Frame>) {
    while let Ok(frame) = asked.recv() {
        if frame.write(&mut to).is_err() {
            return;
        }
    }
}

fn read_answers(from: ChildStdout, answer: &Sender<Result<Frame, NoFrame>>, most: usize) {
    let mut from = BufReader::new(from);
    loop {
        let frame = Frame::read(&mut from, most);
        let last = frame.is_err();
        if answer.send(frame).is_err() || last {
            return;
        }
    }
}

fn keep_last(mut from: impl Read, kept: &Mutex<VecDeque<u8>>) {
    let mut bytes = [0; KEPT];
    while let Ok(count @ 1..) = from.read(&mut bytes) {
        let mut kept = kept.lock().unwrap_or_else(PoisonError::into_inner);
        kept.extend(bytes.iter().take(count));
        let over = kept.len().saturating_sub(KEPT);
        kept.drain(..over);
    }
}

fn how(status: ExitStatus) -> String {
    match (status.code(), status.signal()) {
        (Some(code), _) => format!("exit status {code}"),
        (None, Some(signal)) => {
            format!("signal {signal}{}", SIGNALS.iter().find(|(n, _)| *n == signal).map_or("", |(_, word)| word))
        }
        (None, None) => "nobody knows how".to_owned(),
    }
}

/// What the usual signals mean: numbers of POSIX and of Linux.
const SIGNALS: &[(i32, &str)] = &[
    (4, ", an instruction that the processor does not know"),
    (6, ", it gave up by itself"),
    (8, ", a division that cannot be done"),
    (9, ", it was ended from outside"),
    (11, ", it reached for memory that is not its own"),
];

/// How many lines of its last words are shown, and how many characters of each.
const LINES: usize = 2;
const CHARACTERS: usize = 200;

/// The last lines that say anything, on one line. Numbers of threads are left out: the same fault has the same sentence.
fn last_lines(bytes: &[u8]) -> String {
    let text = String::from_utf8_lossy(bytes);
    let text: String = text.chars().map(|c| if c.is_control() && c != '\n' { ' ' } else { c }).collect();
    let told: Vec<String> = text
        .lines()
        .map(|line| without_thread_number(line.trim()))
        .filter(|line| !line.is_empty() && !line.starts_with("note: run with"))
        .collect();
    let last = told.iter().skip(told.len().saturating_sub(LINES));
    last.map(|line| line.chars().take(CHARACTERS).collect::<String>()).collect::<Vec<_>>().join("; ")
}

/// `thread 'main' (4711) panicked` without the number.
fn without_thread_number(line: &str) -> String {
    let cut = || {
        let (before, rest) = line.split_once("' (")?;
        let (number, after) = rest.split_once(')')?;
        let is_number = before.starts_with("thread '") && number.bytes().all(|b| b.is_ascii_digit());
        is_number.then(|| format!("{before}'{after}"))
    };
    cut().unwrap_or_else(|| line.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn last_words_are_the_last_lines_without_what_changes_from_run_to_run() {
        let text = "noise\n\nthread 'main' (4711) has overflowed its stack\nfatal runtime error: stack overflow, aborting\n";
        let told = "thread 'main' has overflowed its stack; fatal runtime error: stack overflow, aborting";
        assert_eq!(last_lines(text.as_bytes()), told);
        assert_eq!(last_lines(b"\x1b[2J bell\x07\n"), "[2J bell");
        assert_eq!(last_lines(b""), "");
        assert_eq!(last_lines("ä".repeat(900).as_bytes()).chars().count(), CHARACTERS);
    }

    #[test]
    fn what_is_kept_is_the_end() {
        let kept = Mutex::default();
        let noise: Vec<u8> = (0..3 * KEPT + 7).map(|at| u8::try_from(at % 251).unwrap()).collect();
        keep_last(noise.as_slice(), &kept);
        assert_eq!(kept.into_inner().unwrap(), &noise[noise.len() - KEPT..]);
    }
}
