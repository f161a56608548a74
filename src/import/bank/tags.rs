//! A stream of tags and texts, of SGML whose leaves are not closed and of XML alike, one at a time.
//! Nothing is looked up or expanded but a handful of entities; what the tags mean is `ofx`'s.

use std::io::BufRead;

use super::StatementError;
use super::fault::{File, Halt};

/// The longest text or tag that is read, in bytes.
const LONGEST: usize = 1024 * 1024;

/// A piece of the stream. Names are in capitals.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Piece {
    Open(String),
    Close(String),
    Text(String),
}

/// Cuts a stream of UTF-8 text into tags and texts.
pub(super) struct Tags<'f, R> {
    source: R,
    file: File<'f>,
    waiting: Option<Piece>,
    buffer: Vec<u8>,
}

impl<'f, R: BufRead> Tags<'f, R> {
    pub(super) fn new(source: R, file: File<'f>) -> Self {
        Self {
            source,
            file,
            waiting: None,
            buffer: Vec::new(),
        }
    }

    /// The next piece; none at the end.
    ///
    /// # Errors
    /// When the source cannot be read, something is too long, or a document type is declared.
    pub(super) fn next(&mut self) -> Result<Option<Piece>, StatementError> {
        if let Some(piece) = self.waiting.take() {
            return Ok(Some(piece));
        }
        loop {
            let has_tag = self.until(b'<')?;
            let text = self.text();
            let tag = if has_tag { self.tag()? } else { None };
            let text = text.trim();
            if !text.is_empty() {
                self.waiting = tag;
                return Ok(Some(Piece::Text(unescaped(text))));
            }
            if tag.is_some() || !has_tag {
                return Ok(tag);
            }
        }
    }

    /// The rest of a tag whose opening bracket has been read; none for comments and instructions.
    fn tag(&mut self) -> Result<Option<Piece>, StatementError> {
        let first = self.peek()?;
        match first {
            Some(b'!') => return self.declaration(),
            Some(b'?' | b'/') => {}
            Some(byte) if byte.is_ascii_alphabetic() => {}
            // A bracket in a text.
            _ => return Ok(Some(Piece::Text("<".to_owned()))),
        }
        if !self.until(b'>')? {
            return Err(self
                .file
                .whole("the file ends within a tag; it seems to be cut off"));
        }
        let tag = self.text();
        let name = |text: &str| {
            text.split(|c: char| c.is_whitespace() || c == '/')
                .next()
                .unwrap_or_default()
                .to_ascii_uppercase()
        };
        Ok(match tag.as_bytes().first() {
            Some(b'?') => None,
            Some(b'/') => Some(Piece::Close(name(&tag[1..]))),
            _ if tag.ends_with('/') => {
                self.waiting = None;
                Some(Piece::Close(name(&tag)))
            }
            _ => Some(Piece::Open(name(&tag))),
        })
    }

    /// What stands behind `<!`: a comment, a text taken literally, or a document type, which is refused.
    fn declaration(&mut self) -> Result<Option<Piece>, StatementError> {
        if !self.until(b'>')? {
            return Err(self
                .file
                .whole("the file ends within a tag; it seems to be cut off"));
        }
        let start = self.text();
        let is_comment = start.starts_with("!--");
        let is_literal = start.starts_with("![CDATA[");
        if !is_comment && !is_literal {
            return Err(self.file.whole(
                "it declares a document type or entities, which no statement needs; it is refused for safety",
            ));
        }
        let end = if is_comment { "--" } else { "]]" };
        let mut whole = start;
        while !whole.ends_with(end) {
            if !self.until(b'>')? {
                return Err(self
                    .file
                    .whole("the file ends within a tag; it seems to be cut off"));
            }
            whole.push('>');
            whole.push_str(&self.text());
            if whole.len() > LONGEST {
                return Err(self.too_long());
            }
        }
        if is_comment {
            return Ok(None);
        }
        let text = whole.trim_start_matches("![CDATA[").trim_end_matches("]]");
        Ok(Some(Piece::Text(text.to_owned())))
    }

    fn peek(&mut self) -> Result<Option<u8>, StatementError> {
        let ready = self
            .source
            .fill_buf()
            .map_err(|error| self.file.reading(&error))?;
        Ok(ready.first().copied())
    }

    /// Reads up to a byte and takes it away; false when the end comes first.
    fn until(&mut self, stop: u8) -> Result<bool, StatementError> {
        self.buffer.clear();
        loop {
            let ready = self
                .source
                .fill_buf()
                .map_err(|error| self.file.reading(&error))?;
            if ready.is_empty() {
                return Ok(false);
            }
            let end = ready.iter().position(|byte| *byte == stop);
            let taken = end.unwrap_or(ready.len());
            self.buffer.extend_from_slice(&ready[..taken]);
            self.source.consume(taken + usize::from(end.is_some()));
            if end.is_some() {
                return Ok(true);
            }
            if self.buffer.len() > LONGEST {
                return Err(self.too_long());
            }
        }
    }

    fn text(&self) -> String {
        String::from_utf8_lossy(&self.buffer).into_owned()
    }

    fn too_long(&self) -> StatementError {
        self.file.reading(&Halt::TooLong(LONGEST).into())
    }
}

/// A text with its entities made letters. An entity that is not known stays as it is written.
fn unescaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(start) = rest.find('&') {
        out.push_str(&rest[..start]);
        rest = &rest[start..];
        let end = rest.char_indices().take(12).find(|(_idx, c)| *c == ';');
        let letter = end.and_then(|(end, _c)| entity(&rest[1..end]).map(|letter| (letter, end)));
        match letter {
            Some((letter, end)) => {
                out.push(letter);
                rest = &rest[end + 1..];
            }
            None => {
                out.push('&');
                rest = &rest[1..];
            }
        }
    }
    out.push_str(rest);
    out
}

fn entity(name: &str) -> Option<char> {
    match name {
        "amp" => Some('&'),
        "lt" => Some('<'),
        "gt" => Some('>'),
        "quot" => Some('"'),
        "apos" => Some('\''),
        "nbsp" => Some(' '),
        _ => {
            let digits = name.strip_prefix('#')?;
            let number = match digits.strip_prefix(['x', 'X']) {
                Some(digits) => u32::from_str_radix(digits, 16).ok()?,
                None => digits.parse().ok()?,
            };
            char::from_u32(number).filter(|c| *c != '\0')
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pieces(text: &str) -> Vec<Piece> {
        let mut tags = Tags::new(text.as_bytes(), File("s.ofx"));
        let mut out = Vec::new();
        while let Some(piece) = tags.next().expect("is sound") {
            out.push(piece);
        }
        out
    }

    /// By hand.
    #[test]
    fn leaves_need_no_end_and_entities_are_letters() {
        use Piece::{Close, Open, Text};
        assert_eq!(
            pieces(
                "<a>\n<NAME>Paper &amp; Ink &#8212; &unknown; <MEMO/><B x='1'>1 < 2</B><![CDATA[<&>]]><!-- > --></a>"
            ),
            [
                Open("A".into()),
                Open("NAME".into()),
                Text("Paper & Ink \u{2014} &unknown;".into()),
                Close("MEMO".into()),
                Open("B".into()),
                Text("1".into()),
                Text("<".into()),
                Text("2".into()),
                Close("B".into()),
                Text("<&>".into()),
                Close("A".into()),
            ]
        );
    }

    #[test]
    fn document_types_are_refused_and_cut_tags_noticed() {
        let mut tags = Tags::new(
            "<!DOCTYPE a [<!ENTITY b 'c'>]><a>".as_bytes(),
            File("s.ofx"),
        );
        assert!(
            tags.next()
                .expect_err("refused")
                .to_string()
                .contains("document type")
        );
        let mut tags = Tags::new("<a><b".as_bytes(), File("s.ofx"));
        assert_eq!(tags.next(), Ok(Some(Piece::Open("A".into()))));
        assert!(
            tags.next()
                .expect_err("cut")
                .to_string()
                .contains("cut off")
        );
    }
}
