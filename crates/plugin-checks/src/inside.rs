//! What the child does: loads one library, hands questions in and answers out.
#![allow(unsafe_code, reason = "a library is loaded and called")]

use std::ffi::OsString;
use std::process::ExitCode;

/// The first argument of the program that asks it to be the child. It is no command for people.
pub const WORD: &str = "__plugin-host";

/// Whether these are the arguments of a child: then it does its work until its parent is gone. To be asked before anything
/// else, since the command line of people knows nothing of it.
pub fn called(mut arguments: impl Iterator<Item = OsString>) -> Option<ExitCode> {
    if arguments.nth(1)? != WORD {
        return None;
    }
    let (path, memory) = (arguments.next()?, arguments.next()?.to_str()?.parse().ok()?);
    Some(child::serve(path.as_ref(), memory))
}

#[cfg(not(unix))]
mod child {
    use std::path::Path;
    use std::process::ExitCode;

    pub(super) fn serve(_: &Path, _: u64) -> ExitCode {
        ExitCode::FAILURE
    }
}

#[cfg(unix)]
mod child {
    use std::fs::File;
    use std::io::BufReader;
    use std::os::fd::OwnedFd;
    use std::path::Path;
    use std::process::ExitCode;
    use std::sync::mpsc::{self, Receiver};
    use std::{error, io, thread};

    use libloading::Library;
    use plugin_api::abi::{ABI, Buf};
    use plugin_api::wire::Reply;
    use rustix::process::{Resource, Rlimit, Signal, getpid, kill_process, setrlimit};

    use crate::frame::Frame;

    type Abi = unsafe extern "C" fn() -> u32;
    type Call = unsafe extern "C" fn(*const u8, usize) -> Buf;
    type Free = unsafe extern "C" fn(Buf);

    /// The two functions of a library that is a plugin. The library is never unloaded: its threads may still run.
    struct Loaded {
        call: Call,
        free: Free,
    }

    pub(super) fn serve(path: &Path, memory: u64) -> ExitCode {
        let Ok((questions, answers)) = own_pipes() else { return ExitCode::FAILURE };
        bound(memory);
        let (questions, mut answers) = (asked(File::from(questions)), File::from(answers));
        let mut loaded: Option<Result<Loaded, String>> = None;
        while let Ok(question) = questions.recv() {
            let bytes = match loaded.get_or_insert_with(|| load(path)) {
                Ok(loaded) => loaded.answer(&question.bytes),
                Err(why) => serde_json::to_vec(&Reply::Fault { text: why.clone() }).unwrap_or_default(),
            };
            if (Frame { number: question.number, bytes }).write(&mut answers).is_err() {
                break;
            }
        }
        ExitCode::SUCCESS
    }

    /// Takes stdin and stdout away from the library: what it reads there is nothing, and what it prints goes to stderr.
    fn own_pipes() -> io::Result<(OwnedFd, OwnedFd)> {
        // Duplicates made this way are closed in programs that the library starts.
        let private = |stream| rustix::io::fcntl_dupfd_cloexec(stream, FIRST_FREE);
        let pipes = (private(rustix::stdio::stdin())?, private(rustix::stdio::stdout())?);
        rustix::stdio::dup2_stdin(File::open("/dev/null")?)?;
        rustix::stdio::dup2_stdout(rustix::stdio::stderr())?;
        Ok(pipes)
    }

    /// Beyond stdin, stdout and stderr.
    const FIRST_FREE: i32 = 3;

    /// No more memory than that, and no memory image on disk when it crashes. Where a system does not bound address space,
    /// time alone bounds the plugin.
    fn bound(memory: u64) {
        let both = |bytes| Rlimit { current: Some(bytes), maximum: Some(bytes) };
        let _ = setrlimit(Resource::Core, both(0));
        let _ = setrlimit(Resource::As, both(memory.saturating_add(mapped())));
    }

    /// Bytes of address space that the program itself has mapped.
    fn mapped() -> u64 {
        let pages = std::fs::read_to_string("/proc/self/statm").ok();
        let pages = pages.and_then(|text| text.split(' ').next()?.parse::<u64>().ok());
        pages.unwrap_or_default().saturating_mul(u64::try_from(rustix::param::page_size()).unwrap_or_default())
    }

    /// Questions, read in a thread of their own: when the parent is gone the process ends, also in the middle of an answer
    /// that would never end.
    fn asked(from: File) -> Receiver<Frame> {
        let (send, receive) = mpsc::channel();
        thread::spawn(move || {
            let mut from = BufReader::new(from);
            while let Ok(frame) = Frame::read(&mut from, usize::MAX) {
                if send.send(frame).is_err() {
                    break;
                }
            }
            // Without a word to the library, whose farewell might hang in its turn.
            let _ = kill_process(getpid(), Signal::KILL);
        });
        receive
    }

    fn load(path: &Path) -> Result<Loaded, String> {
        // SAFETY: what the library does when it is loaded is its own affair, and that of this process, which has nothing to
        // lose.
        let library = unsafe { Library::new(path) };
        let library = library.map_err(|why| format!("it is no library for this system: {}", reason(&why)))?;
        let library: &'static Library = Box::leak(Box::new(library));
        // SAFETY: a library that has a function of that name and is no plugin might have it with another type. Then this process
        // may crash, and its parent says so.
        let abi: Abi = unsafe { function(library, "rigproof_abi") }?;
        // SAFETY: as above; it takes nothing.
        let version = unsafe { abi() };
        if version != ABI {
            return Err(format!("it is built for version {version} of the plugin interface, and this program has version {ABI}"));
        }
        // SAFETY: as above; the version says that it is of this type.
        let call = unsafe { function(library, "rigproof_call") }?;
        // SAFETY: as above.
        let free = unsafe { function(library, "rigproof_free") }?;
        Ok(Loaded { call, free })
    }

    /// # Safety
    /// What the library has under that name is of type `F`, or this process may be lost.
    unsafe fn function<F: Copy>(library: &'static Library, name: &str) -> Result<F, String> {
        // SAFETY: the caller says that it is of this type, or takes the loss.
        let found = unsafe { library.get::<F>(name) };
        found.map(|function| *function).map_err(|_| format!("it is a library and no plugin: it has no function {name}"))
    }

    impl Loaded {
        fn answer(&self, question: &[u8]) -> Vec<u8> {
            // SAFETY: the question stays as it is during the call, and version 1 of the function is of this type.
            let buf = unsafe { (self.call)(question.as_ptr(), question.len()) };
            if buf.ptr.is_null() {
                return Vec::new();
            }
            // SAFETY: the library says that there are so many bytes; they are copied before it takes them back.
            let answer = unsafe { std::slice::from_raw_parts(buf.ptr, buf.len) }.to_vec();
            // SAFETY: it gets back what it gave, once.
            unsafe { (self.free)(buf) };
            answer
        }
    }

    /// The innermost reason: the outer ones only name the call that was made.
    fn reason(why: &dyn error::Error) -> String {
        let mut why = why;
        while let Some(inner) = why.source() {
            why = inner;
        }
        why.to_string()
    }
}
