//! Drafts for a page in a browser, without a server. A page has numbers and memory to share and no more, so three functions do
//! it all: [`room`] makes room for a question, JSON as [`oaktag_studio::desk`] has it; [`answer`] reads what was written there
//! and gives how many bytes the answer has; [`answered`] says where it lies.

#![allow(
    unsafe_code,
    reason = "the name of an exported function counts as unsafe"
)]

use oaktag_language::syntax::project::NoFiles;
use oaktag_studio::desk::Desk;
use std::sync::{LazyLock, Mutex, PoisonError};

/// The question, the answer, and the draft between them.
#[derive(Default)]
struct Memory {
    question: Vec<u8>,
    answer: Vec<u8>,
    desk: Desk,
}

static MEMORY: LazyLock<Mutex<Memory>> = LazyLock::new(Mutex::default);

fn with<T>(act: impl FnOnce(&mut Memory) -> T) -> T {
    act(&mut MEMORY.lock().unwrap_or_else(PoisonError::into_inner))
}

/// Makes room for a question of so many bytes, and says where.
#[unsafe(no_mangle)]
pub extern "C" fn room(bytes: usize) -> *mut u8 {
    with(|memory| {
        memory.question = vec![0; bytes];
        memory.question.as_mut_ptr()
    })
}

/// Answers the question: how many bytes the answer has.
#[unsafe(no_mangle)]
pub extern "C" fn answer() -> usize {
    with(|memory| {
        let (desk, question) = (&mut memory.desk, &memory.question);
        memory.answer = desk.answer(question, &|_| Box::new(NoFiles));
        memory.answer.len()
    })
}

/// Where the answer lies.
#[unsafe(no_mangle)]
pub extern "C" fn answered() -> *const u8 {
    with(|memory| memory.answer.as_ptr())
}
