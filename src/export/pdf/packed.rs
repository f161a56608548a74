//! The same document in fewer bytes: objects that are no streams are packed into object streams, and the table of places
//! becomes a stream too (ISO 32000-1, 7.5.7 and 7.5.8). A tagged document is nearly all small objects; packed it takes a
//! tenth of the room. Nothing of what the objects say is touched.

use std::io::Write as _;

use flate2::Compression;
use flate2::write::ZlibEncoder;

use super::{ExportError, refused};

/// So many objects go into one stream.
const TOGETHER: usize = 200;
/// After so many streams it is told how far the work is.
const TOLD_EVERY: usize = 25;

/// An object as it stands in the document: its number, and what stands between `obj` and `endobj`.
struct Object<'a> {
    number: usize,
    body: &'a [u8],
}

/// Where an object is in the packed document.
#[derive(Clone, Copy)]
enum Place {
    /// No such object.
    Free,
    /// At this byte.
    At(usize),
    /// In this stream of objects, at this place in it.
    In(usize, usize),
}

/// The document packed. Takes what the writing library gives: every object once, one classic table of places, one trailer.
/// `tell` is called after every so many streams and may stop the work.
pub(super) fn packed(
    document: &[u8],
    tell: &mut dyn FnMut() -> Result<(), ExportError>,
) -> Result<Vec<u8>, ExportError> {
    let (objects, trailer) =
        read(document).ok_or_else(|| refused("its objects are not found again"))?;
    let highest = objects
        .iter()
        .map(|object| object.number)
        .max()
        .unwrap_or_default();
    let mut places = vec![Place::Free; highest + 1];
    let head = header(document).ok_or_else(|| refused("it does not begin as a PDF"))?;
    let mut out = head.to_vec();
    let (streams, small): (Vec<Object<'_>>, Vec<Object<'_>>) = objects
        .into_iter()
        .partition(|object| is_stream(object.body));
    for object in &streams {
        set(&mut places, object.number, Place::At(out.len()));
        push_object(&mut out, object.number, object.body);
    }
    let mut next = highest + 1;
    for group in small.chunks(TOGETHER) {
        let (mut index, mut bodies) = (String::new(), Vec::new());
        for (at, object) in group.iter().enumerate() {
            index.push_str(&format!("{} {} ", object.number, bodies.len()));
            bodies.extend_from_slice(object.body);
            bodies.push(b'\n');
            set(&mut places, object.number, Place::In(next, at));
        }
        let first = index.len();
        let mut data = index.into_bytes();
        data.append(&mut bodies);
        let data = deflated(&data)?;
        places.push(Place::At(out.len()));
        let dictionary = format!(
            "<</Type/ObjStm/N {}/First {first}/Length {}/Filter/FlateDecode>>",
            group.len(),
            data.len()
        );
        push_stream(&mut out, next, &dictionary, &data);
        next += 1;
        if next.is_multiple_of(TOLD_EVERY) {
            tell()?;
        }
    }
    let begins = out.len();
    places.push(Place::At(begins));
    let data = deflated(&table(&places))?;
    let dictionary = format!(
        "<</Type/XRef/Size {}/W[1 4 2]/Length {}/Filter/FlateDecode{}>>",
        places.len(),
        data.len(),
        String::from_utf8_lossy(trailer)
    );
    push_stream(&mut out, next, &dictionary, &data);
    out.extend_from_slice(format!("startxref\n{begins}\n%%EOF").as_bytes());
    Ok(out)
}

fn set(places: &mut [Place], number: usize, place: Place) {
    if let Some(known) = places.get_mut(number) {
        *known = place;
    }
}

/// The lines before the first object.
fn header(document: &[u8]) -> Option<&[u8]> {
    let end = document
        .windows(6)
        .position(|part| part == b" 0 obj")
        .and_then(|at| document.get(..at)?.iter().rposition(|byte| *byte == b'\n'))?;
    document
        .get(..=end)
        .filter(|head| head.starts_with(b"%PDF-"))
}

/// Every object in the order of the document, and the trailer's entries but for its size.
fn read(document: &[u8]) -> Option<(Vec<Object<'_>>, &[u8])> {
    let tail = document.get(document.len().checked_sub(64)?..)?;
    let tail = std::str::from_utf8(tail).ok().or_else(|| {
        let at = tail.windows(9).position(|part| part == b"startxref")?;
        std::str::from_utf8(tail.get(at..)?).ok()
    })?;
    let start: usize = tail
        .rsplit_once("startxref")?
        .1
        .split_whitespace()
        .next()?
        .parse()
        .ok()?;
    let mut lines = document.get(start..)?.split(|byte| *byte == b'\n');
    (lines.next()?.trim_ascii() == b"xref").then_some(())?;
    let counts = std::str::from_utf8(lines.next()?).ok()?;
    let count: usize = counts.split_whitespace().nth(1)?.parse().ok()?;
    let mut offsets = Vec::with_capacity(count);
    for _ in 0..count {
        let line = std::str::from_utf8(lines.next()?).ok()?;
        let mut parts = line.split_whitespace();
        let offset: usize = parts.next()?.parse().ok()?;
        if parts.nth(1)? == "n" {
            offsets.push(offset);
        }
    }
    (lines.next()?.trim_ascii() == b"trailer").then_some(())?;
    let trailer = lines.next()?.trim_ascii();
    let trailer = trailer.strip_prefix(b"<</Size ")?.strip_suffix(b">>")?;
    let digits = trailer
        .iter()
        .take_while(|byte| byte.is_ascii_digit())
        .count();
    let trailer = trailer.get(digits..)?;
    offsets.sort_unstable();
    let ends = offsets.iter().skip(1).copied().chain([start]);
    let mut objects = Vec::with_capacity(offsets.len());
    for (from, to) in offsets.iter().copied().zip(ends) {
        objects.push(object(document.get(from..to)?)?);
    }
    Some((objects, trailer))
}

fn object(bytes: &[u8]) -> Option<Object<'_>> {
    let digits = bytes
        .iter()
        .take_while(|byte| byte.is_ascii_digit())
        .count();
    let number = std::str::from_utf8(bytes.get(..digits)?)
        .ok()?
        .parse()
        .ok()?;
    let body = bytes.get(digits..)?.strip_prefix(b" 0 obj")?.trim_ascii();
    let body = body.strip_suffix(b"endobj")?;
    Some(Object {
        number,
        body: body.trim_ascii(),
    })
}

fn is_stream(body: &[u8]) -> bool {
    body.ends_with(b"endstream")
}

fn push_object(out: &mut Vec<u8>, number: usize, body: &[u8]) {
    out.extend_from_slice(format!("{number} 0 obj\n").as_bytes());
    out.extend_from_slice(body);
    out.extend_from_slice(b"\nendobj\n");
}

fn push_stream(out: &mut Vec<u8>, number: usize, dictionary: &str, data: &[u8]) {
    out.extend_from_slice(format!("{number} 0 obj\n{dictionary}\nstream\n").as_bytes());
    out.extend_from_slice(data);
    out.extend_from_slice(b"\nendstream\nendobj\n");
}

/// The table of places: a kind, four bytes of place, two of the place within a stream.
fn table(places: &[Place]) -> Vec<u8> {
    let mut data = Vec::with_capacity(places.len() * 7);
    for place in places {
        let (kind, first, second) = match *place {
            Place::Free => (0_u8, 0, 0xffff),
            Place::At(at) => (1, at, 0),
            Place::In(stream, at) => (2, stream, at),
        };
        data.push(kind);
        data.extend_from_slice(&u32::try_from(first).unwrap_or(u32::MAX).to_be_bytes());
        data.extend_from_slice(&u16::try_from(second).unwrap_or(u16::MAX).to_be_bytes());
    }
    data
}

fn deflated(data: &[u8]) -> Result<Vec<u8>, ExportError> {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::default());
    encoder
        .write_all(data)
        .and_then(|()| encoder.finish())
        .map_err(refused)
}
