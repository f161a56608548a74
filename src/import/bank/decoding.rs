//! From bytes to text: which encoding a file is in, and a stream of it as UTF-8.
//! What the text says is the readers' business.

use std::io::{self, Read, Seek, SeekFrom};

use chardetng::{EncodingDetector, Iso2022JpDetection, Utf8Detection};
use encoding_rs::{CoderResult, Decoder, DecoderResult, Encoding, UTF_8, UTF_16BE, UTF_16LE};

use super::fault::Halt;

const CHUNK: usize = 16 * 1024;

/// A source whose reading can be watched and stopped.
pub struct Watched<'a, R> {
    inner: R,
    done: u64,
    watch: &'a mut dyn FnMut(u64) -> bool,
}

impl<'a, R> Watched<'a, R> {
    /// Watches a source. `watch` is told how many bytes have been read in all passes together and answers whether to
    /// go on; when it says no, the reading ends with [`super::StatementError::Stopped`].
    pub fn new(inner: R, watch: &'a mut dyn FnMut(u64) -> bool) -> Self {
        Self {
            inner,
            done: 0,
            watch,
        }
    }
}

impl<R: Read> Read for Watched<'_, R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let count = self.inner.read(buffer)?;
        self.done += count as u64;
        if (self.watch)(self.done) {
            Ok(count)
        } else {
            Err(Halt::Stopped.into())
        }
    }
}

impl<R: Seek> Seek for Watched<'_, R> {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        self.inner.seek(to)
    }
}

/// The encoding of a whole file: a byte-order mark decides; then UTF-16 by its zero bytes, UTF-8 if all of it is;
/// otherwise what its letters look like, a Western European page when nothing speaks for another. Only a file that is
/// not UTF-8 is gone through a second time for its letters.
///
/// # Errors
/// When the source cannot be read.
pub(in crate::import) fn detect(source: &mut (impl Read + Seek)) -> io::Result<&'static Encoding> {
    source.seek(SeekFrom::Start(0))?;
    let mut utf8 = UTF_8.new_decoder_without_bom_handling();
    let mut buffer = vec![0; CHUNK];
    let mut scratch = vec![0; CHUNK * 3 + 16];
    let mut is_first = true;
    loop {
        let count = source.read(&mut buffer)?;
        let chunk = &buffer[..count];
        if is_first {
            if let Some((encoding, _length)) = Encoding::for_bom(chunk) {
                return Ok(encoding);
            }
            if let Some(encoding) = without_mark(chunk) {
                return Ok(encoding);
            }
            is_first = false;
        }
        let (result, ..) = utf8.decode_to_utf8_without_replacement(chunk, &mut scratch, count == 0);
        if matches!(result, DecoderResult::Malformed(..)) {
            break;
        }
        if count == 0 {
            return Ok(UTF_8);
        }
    }
    source.seek(SeekFrom::Start(0))?;
    let mut detector = EncodingDetector::new(Iso2022JpDetection::Deny);
    loop {
        let count = source.read(&mut buffer)?;
        detector.feed(&buffer[..count], count == 0);
        if count == 0 {
            return Ok(detector.guess(None, Utf8Detection::Deny));
        }
    }
}

/// UTF-16 without a mark: every other byte of plain text is zero.
pub(super) fn without_mark(chunk: &[u8]) -> Option<&'static Encoding> {
    let head = &chunk[..chunk.len().min(512)];
    let pairs = head.len() / 2;
    if pairs < 4 {
        return None;
    }
    let zeros = |offset: usize| {
        head.iter()
            .skip(offset)
            .step_by(2)
            .filter(|byte| **byte == 0)
            .count()
    };
    let (even, odd) = (zeros(0), zeros(1));
    if odd * 2 > pairs && even == 0 {
        Some(UTF_16LE)
    } else if even * 2 > pairs && odd == 0 {
        Some(UTF_16BE)
    } else {
        None
    }
}

/// The encoding with this label.
pub(super) fn of_label(label: &str) -> Option<&'static Encoding> {
    Encoding::for_label(label.trim().as_bytes())
}

/// A source read as UTF-8 text, whatever it is encoded in; a byte-order mark is left out.
pub(in crate::import) struct Decoded<R> {
    inner: R,
    decoder: Decoder,
    encoding: &'static Encoding,
    raw: Vec<u8>,
    raw_at: usize,
    raw_end: usize,
    is_ended: bool,
    is_finished: bool,
    read: u64,
    text: Vec<u8>,
    text_at: usize,
    text_end: usize,
}

impl<R: Read> Decoded<R> {
    pub(super) fn new(inner: R, encoding: &'static Encoding) -> Self {
        Self {
            inner,
            decoder: encoding.new_decoder_with_bom_removal(),
            encoding,
            raw: vec![0; CHUNK],
            raw_at: 0,
            raw_end: 0,
            is_ended: false,
            is_finished: false,
            read: 0,
            text: vec![0; CHUNK],
            text_at: 0,
            text_end: 0,
        }
    }

    fn fill(&mut self) -> io::Result<()> {
        while self.text_at == self.text_end && !self.is_finished {
            if self.raw_at == self.raw_end && !self.is_ended {
                self.raw_at = 0;
                self.raw_end = self.inner.read(&mut self.raw)?;
                self.read += self.raw_end as u64;
                self.is_ended = self.raw_end == 0;
            }
            let (result, taken, made) = self.decoder.decode_to_utf8_without_replacement(
                &self.raw[self.raw_at..self.raw_end],
                &mut self.text,
                self.is_ended,
            );
            self.raw_at += taken;
            self.text_at = 0;
            self.text_end = made;
            match result {
                DecoderResult::InputEmpty => self.is_finished = self.is_ended,
                DecoderResult::OutputFull => {}
                DecoderResult::Malformed(..) => {
                    return Err(Halt::NotText {
                        encoding: self.encoding.name(),
                        before: self.read,
                    }
                    .into());
                }
            }
        }
        Ok(())
    }
}

impl<R: Read> Read for Decoded<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let ready = io::BufRead::fill_buf(self)?;
        let count = ready.len().min(buffer.len());
        buffer[..count].copy_from_slice(&ready[..count]);
        io::BufRead::consume(self, count);
        Ok(count)
    }
}

impl<R: Read> io::BufRead for Decoded<R> {
    fn fill_buf(&mut self) -> io::Result<&[u8]> {
        self.fill()?;
        Ok(&self.text[self.text_at..self.text_end])
    }

    fn consume(&mut self, count: usize) {
        self.text_at = (self.text_at + count).min(self.text_end);
    }
}

/// A source from its beginning as UTF-8 text.
///
/// # Errors
/// When the source cannot be wound back.
pub(in crate::import) fn decoded<'a, R: Read + Seek>(
    source: &'a mut R,
    encoding: &'static Encoding,
) -> io::Result<Decoded<&'a mut R>> {
    source.seek(SeekFrom::Start(0))?;
    Ok(Decoded::new(source, encoding))
}

/// Whether some bytes are text in an encoding, whatever follows them.
pub(super) fn begins_as_text(bytes: &[u8], encoding: &'static Encoding) -> String {
    let mut text = String::with_capacity(bytes.len() * 3 + 16);
    let mut decoder = encoding.new_decoder_with_bom_removal();
    let (result, ..) = decoder.decode_to_string(bytes, &mut text, false);
    debug_assert!(matches!(
        result,
        CoderResult::InputEmpty | CoderResult::OutputFull
    ));
    text
}

#[cfg(test)]
mod tests {
    use std::io::Cursor;

    use encoding_rs::WINDOWS_1252;

    use super::*;

    /// A source that gives one byte at a time.
    struct Slowly<'b>(&'b [u8]);

    impl Read for Slowly<'_> {
        fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
            match (self.0.split_first(), buffer.first_mut()) {
                (Some((byte, rest)), Some(place)) => {
                    *place = *byte;
                    self.0 = rest;
                    Ok(1)
                }
                _ => Ok(0),
            }
        }
    }

    /// WHATWG Encoding Standard, index windows-1252: 0x80 is U+20AC, 0x96 U+2013, 0xE4 U+00E4; UTF-8 and UTF-16 by hand.
    #[test]
    fn text_is_the_same_however_it_comes_in() {
        for (encoding, bytes, expected) in [
            (
                WINDOWS_1252,
                &b"1,50 \x80 \x96 K\xe4se"[..],
                "1,50 \u{20ac} \u{2013} K\u{e4}se",
            ),
            (UTF_8, b"\xef\xbb\xbfK\xc3\xa4se", "K\u{e4}se"),
            (UTF_16LE, b"\xff\xfeK\0\xe4\0", "K\u{e4}"),
            (UTF_16BE, b"\0K\0\xe4\xd8\x3d\xde\x00", "K\u{e4}\u{1f600}"),
        ] {
            let mut slow = String::new();
            Decoded::new(Slowly(bytes), encoding)
                .read_to_string(&mut slow)
                .expect("is text");
            assert_eq!(slow, expected);
            let (whole, _encoding, has_faults) = encoding.decode(bytes);
            assert_eq!((whole.as_ref(), has_faults), (expected, false));
        }
        let mut text = String::new();
        let error = Decoded::new(&b"a\xffb"[..], UTF_8)
            .read_to_string(&mut text)
            .expect_err("is not UTF-8");
        assert!(
            error.to_string().contains("not whole UTF-8 text"),
            "{error}"
        );
    }

    #[test]
    fn the_encoding_is_found_over_the_whole_file() {
        let plain = "2026-01-02;Paper;-1,00\n".repeat(20_000);
        for (bytes, expected) in [
            (plain.clone().into_bytes(), UTF_8),
            ([plain.as_bytes(), b"K\xc3\xa4se"].concat(), UTF_8),
            ([plain.as_bytes(), b"K\xe4se"].concat(), WINDOWS_1252),
            (
                b"Datum;Text;Betrag\n02.01.2026;K\xe4se;-1,00\n".to_vec(),
                WINDOWS_1252,
            ),
            (
                b"Datum;Text;Betrag\n02.01.2026;Gr\xfc\xdfe;-1,00 \x80\n".to_vec(),
                WINDOWS_1252,
            ),
            (
                b"Date;Libell\xe9;D\xe9bit\n02/01/2026;Caf\xe9;1,00\n".to_vec(),
                WINDOWS_1252,
            ),
            (b"D\0a\0t\0e\0;\0".to_vec(), UTF_16LE),
            (b"\xfe\xff\0D".to_vec(), UTF_16BE),
        ] {
            let found = detect(&mut Cursor::new(bytes)).expect("is readable");
            assert_eq!(found, expected);
        }
    }
}
