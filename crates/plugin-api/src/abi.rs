//! The three functions of a plugin: plain C, JSON bytes in, JSON bytes out.
//!
//! | function | does |
//! |---|---|
//! | `rigproof_abi() -> u32` | says which version of these three functions it has, [`ABI`] |
//! | `rigproof_call(ptr, len) -> Buf` | answers one document of [`wire`](crate::wire) |
//! | `rigproof_free(Buf)` | takes back the memory of an answer |
//!
//! A plugin need not be written in Rust: whoever exports these three is one.
#![allow(unsafe_code, reason = "memory goes over a C boundary")]

use std::mem::ManuallyDrop;

use crate::session::{Session, guarded, written};
use crate::wire::Reply;

/// Version of the three functions.
pub const ABI: u32 = 1;

/// Bytes that the plugin allocated; only its own `rigproof_free` may free them.
#[repr(C)]
#[derive(Debug)]
pub struct Buf {
    /// Where they begin; may be null where there are none.
    pub ptr: *mut u8,
    /// How many there are.
    pub len: usize,
    /// How many were allocated; the plugin's own affair.
    pub cap: usize,
}

impl From<Vec<u8>> for Buf {
    fn from(bytes: Vec<u8>) -> Self {
        let mut bytes = ManuallyDrop::new(bytes);
        Self { ptr: bytes.as_mut_ptr(), len: bytes.len(), cap: bytes.capacity() }
    }
}

/// Body of `rigproof_call`; for [`export_plugin`](crate::export_plugin) alone.
///
/// # Safety
/// `ptr` points at `len` bytes that stay as they are during the call.
#[must_use]
pub unsafe fn call(session: fn() -> &'static Session, ptr: *const u8, len: usize) -> Buf {
    let request = if ptr.is_null() {
        &[]
    } else {
        // SAFETY: the caller says that there are `len` bytes, and that nobody changes them.
        unsafe { std::slice::from_raw_parts(ptr, len) }
    };
    let answer = guarded(|| session().answer(request));
    answer.unwrap_or_else(|why| written(&Reply::Fault { text: format!("it panicked: {why}") })).into()
}

/// Body of `rigproof_free`; for [`export_plugin`](crate::export_plugin) alone.
///
/// # Safety
/// `buf` came from [`call`] of the same library and was not freed before.
pub unsafe fn free(buf: Buf) {
    // SAFETY: pointer, length and capacity are those of a `Vec<u8>` that `Buf::from` let go of.
    drop(unsafe { Vec::from_raw_parts(buf.ptr, buf.len, buf.cap) });
}

/// Makes a library a plugin with these checks: `export_plugin!(FrostLine, TowEye)`. Once in a library.
#[macro_export]
macro_rules! export_plugin {
    ($($check:expr),+ $(,)?) => {
        const _: () = {
            fn session() -> &'static $crate::session::Session {
                static SESSION: ::std::sync::OnceLock<$crate::session::Session> = ::std::sync::OnceLock::new();
                SESSION.get_or_init(|| {
                    let name = concat!(env!("CARGO_PKG_NAME"), " ", env!("CARGO_PKG_VERSION"));
                    $crate::session::Session::new(name, vec![$(Box::new($check)),+])
                })
            }

            #[unsafe(no_mangle)]
            extern "C" fn rigproof_abi() -> u32 {
                $crate::abi::ABI
            }

            #[unsafe(no_mangle)]
            unsafe extern "C" fn rigproof_call(ptr: *const u8, len: usize) -> $crate::abi::Buf {
                // SAFETY: the program hands over bytes that it keeps until this returns.
                unsafe { $crate::abi::call(session, ptr, len) }
            }

            #[unsafe(no_mangle)]
            unsafe extern "C" fn rigproof_free(buf: $crate::abi::Buf) {
                // SAFETY: the program gives back what `rigproof_call` gave it, once.
                unsafe { $crate::abi::free(buf) }
            }
        };
    };
}
