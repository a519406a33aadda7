//! The front end: what it reads, what it says, and that nothing breaks it.

mod drafts;
