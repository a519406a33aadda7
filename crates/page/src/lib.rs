//! Drafts for a page in a browser, without a server. A page has numbers and memory to share and no more, so a few functions do
//! it all: [`room`] makes room for a question, JSON as [`oaktag_studio::desk`] has it; [`answer`] reads what was written there
//! and gives how many bytes the answer has; [`answered`] says where it lies. A question that wants the faces of paper is answered
//! so; [`face`] takes each of them out of that room.

#![allow(
    unsafe_code,
    reason = "the name of an exported function counts as unsafe"
)]

use oaktag_language::syntax::project::NoFiles;
use oaktag_output::letters;
use oaktag_studio::desk::Desk;
use std::sync::{LazyLock, Mutex, PoisonError};

/// The question, the answer, and the draft between them.
#[derive(Default)]
struct Memory {
    question: Vec<u8>,
    answer: Vec<u8>,
    faces: [Vec<u8>; 2],
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

/// Takes the file of a face, 0 the regular, 1 the bold, from where a question stands. Gives 1 where it is well, or the other is
/// still wanting; 0 where one is no face.
#[unsafe(no_mangle)]
pub extern "C" fn face(number: usize) -> usize {
    with(|memory| {
        if let Some(face) = memory.faces.get_mut(number) {
            *face = std::mem::take(&mut memory.question);
        }
        if memory.faces.iter().any(Vec::is_empty) {
            return 1;
        }
        usize::from(letters::lay(std::mem::take(&mut memory.faces)).is_ok())
    })
}

/// Where the answer lies.
#[unsafe(no_mangle)]
pub extern "C" fn answered() -> *const u8 {
    with(|memory| memory.answer.as_ptr())
}
