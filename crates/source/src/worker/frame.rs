//! Messages on a pipe: bytes behind their length.

use std::io::{Error, ErrorKind, Read, Result, Write};

/// Writes a message and sends it off.
pub(super) fn write(out: &mut impl Write, message: &[u8]) -> Result<()> {
    out.write_all(&(message.len() as u64).to_le_bytes())?;
    out.write_all(message)?;
    out.flush()
}

/// Reads a message of at most `most` bytes; `None` when the other side has closed the pipe between two messages.
pub(super) fn read(from: &mut impl Read, most: u64) -> Result<Option<Vec<u8>>> {
    let mut length = [0; 8];
    let mut got = 0;
    while got < length.len() {
        match from.read(&mut length[got..]) {
            Ok(0) if got == 0 => return Ok(None),
            Ok(0) => return Err(ErrorKind::UnexpectedEof.into()),
            Ok(more) => got += more,
            Err(error) if error.kind() == ErrorKind::Interrupted => {}
            Err(error) => return Err(error),
        }
    }
    let length = u64::from_le_bytes(length);
    if length > most {
        return Err(Error::new(ErrorKind::InvalidData, format!("a message of {length} bytes, the limit is {most}")));
    }
    // Grows with what comes, so that a wrong length costs nothing.
    let mut message = Vec::new();
    from.take(length).read_to_end(&mut message)?;
    if (message.len() as u64) < length {
        return Err(ErrorKind::UnexpectedEof.into());
    }
    Ok(Some(message))
}

#[cfg(test)]
mod tests {
    use super::{read, write};

    #[test]
    fn messages_come_back_and_the_end_is_an_end() {
        let mut pipe = Vec::new();
        for message in [&b"one"[..], b"", b"three"] {
            write(&mut pipe, message).unwrap();
        }
        let mut rest = pipe.as_slice();
        for message in [&b"one"[..], b"", b"three"] {
            assert_eq!(read(&mut rest, 5).unwrap().as_deref(), Some(message));
        }
        assert!(read(&mut rest, 5).unwrap().is_none());
    }

    #[test]
    fn cut_and_oversized_messages_are_errors() {
        let mut pipe = Vec::new();
        write(&mut pipe, b"message").unwrap();
        assert!(read(&mut &pipe[..4], 100).is_err());
        assert!(read(&mut &pipe[..10], 100).is_err());
        assert!(read(&mut &pipe[..], 6).unwrap_err().to_string().contains("7 bytes"));
        assert!(read(&mut &[0xff; 20][..], 1 << 40).is_err(), "a length out of nowhere allocates nothing");
    }
}
