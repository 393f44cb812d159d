//! Standard output that a closed pipe doesn't upset.

use std::io::{self, ErrorKind, Write};

/// Writes `text` to standard output. Whoever closed the pipe wants no more, so that is no error.
pub(super) fn print(text: &str) -> io::Result<()> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
        result => result,
    }
}
