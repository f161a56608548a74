//! A laid-out document as the bytes of a PDF: typefaces embedded, every run tagged, validated while it is written.
//! Where things stand is `layout`'s.

use std::num::NonZeroU16;

use chrono::{Datelike, NaiveDate};
use krilla::Document;
use krilla::SerializeSettings;
use krilla::color::rgb;
use krilla::configure::{Accessibility, Archival, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::geom::{PathBuilder, Point};
use krilla::metadata::{DateTime, Metadata};
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, Stroke};
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, ContentTag, Identifier, Node, SpanTag, TableHeaderScope, Tag, TagGroup,
    TagTree,
};
use krilla::text::{Font, TextDirection};

use super::layout::{BOLD, Block, PLAIN, Row, Run, Sheet};
use super::{ExportError, refused};

const FOOT_SIZE: f32 = 8.5;
const THIN: f32 = 0.6;

impl Sheet {
    /// The document as a PDF. `made_on` is the day that stands in it as its day of making; nothing else in it depends on
    /// the clock, so that the same figures give the same bytes.
    ///
    /// # Errors
    /// When what was laid out does not meet PDF/A-3a or PDF/UA-1.
    pub fn to_pdf(&self, made_on: NaiveDate) -> Result<Vec<u8>, ExportError> {
        let configuration = ConfigurationBuilder::new()
            .with_archival_validator(Archival::A3_A)
            .with_accessibility_validator(Accessibility::UA1)
            .finish()
            .map_err(|error| refused(format!("{error:?}")))?;
        let mut document = Document::new_with(SerializeSettings {
            configuration,
            enable_tagging: true,
            ..SerializeSettings::default()
        });
        let fonts = [font(PLAIN)?, font(BOLD)?];
        let (width, height) = self.size.points();
        let mut ids: Vec<Option<Identifier>> = vec![None; self.runs.len()];
        for number in 0..self.n_pages {
            let settings = PageSettings::from_wh(width, height)
                .ok_or_else(|| refused("the paper has no size"))?;
            let mut page = document.start_page_with(settings);
            let mut surface = page.surface();
            surface.set_fill(Some(ink()));
            for (idx, run) in self.runs.iter().enumerate() {
                if run.page == number {
                    let id = surface.start_tagged(ContentTag::Span(SpanTag::empty()));
                    draw(&mut surface, run, &fonts);
                    surface.end_tagged();
                    if let Some(place) = ids.get_mut(idx) {
                        *place = Some(id);
                    }
                }
            }
            self.draw_rules(&mut surface, number);
            self.draw_foot(&mut surface, number, &fonts);
            surface.finish();
            page.finish();
        }
        let mut outline = Outline::new();
        let top = XyzDestination::new(0, Point::from_xy(0.0, 0.0));
        outline.push_child(OutlineNode::new(self.title.clone(), top));
        document.set_outline(outline);
        document.set_metadata(
            Metadata::new()
                .title(self.title.clone())
                .language("en".to_owned())
                .creation_date(day(made_on))
                .creator("Deckle".to_owned()),
        );
        document.set_tag_tree(self.tree(&ids));
        document
            .finish()
            .map_err(|error| refused(format!("{error:?}")))
    }

    fn draw_rules(&self, surface: &mut Surface<'_>, page: usize) {
        for rule in self.rules.iter().filter(|rule| rule.page == page) {
            let mut path = PathBuilder::new();
            path.move_to(rule.from, rule.y);
            path.line_to(rule.to, rule.y);
            if let Some(path) = path.finish() {
                surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(
                    ArtifactType::Other,
                )));
                surface.set_fill(None);
                surface.set_stroke(Some(Stroke {
                    paint: rgb::Color::new(0, 0, 0).into(),
                    width: THIN,
                    ..Stroke::default()
                }));
                surface.draw_path(&path);
                surface.set_stroke(None);
                surface.set_fill(Some(ink()));
                surface.end_tagged();
            }
        }
    }

    fn draw_foot(&self, surface: &mut Surface<'_>, page: usize, fonts: &[Font; 2]) {
        let words = format!(
            "{} \u{2014} page {} of {}",
            self.title,
            page + 1,
            self.n_pages
        );
        let (_, height) = self.size.points();
        surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(
            ArtifactType::Footer,
        )));
        let run = Run {
            page,
            x: 56.0,
            y: height - 40.0,
            size: FOOT_SIZE,
            is_bold: false,
            text: words,
        };
        draw(surface, &run, fonts);
        surface.end_tagged();
    }

    fn tree(&self, ids: &[Option<Identifier>]) -> TagTree {
        let nodes = |runs: &[usize]| -> Vec<Node> {
            runs.iter()
                .filter_map(|run| ids.get(*run).copied().flatten())
                .map(Node::Leaf)
                .collect()
        };
        let mut tree = TagTree::new().with_lang(Some("en".to_owned()));
        for block in &self.blocks {
            match block {
                Block::Heading(level, title, runs) => {
                    let level = NonZeroU16::new(*level).unwrap_or(NonZeroU16::MIN);
                    tree.push(TagGroup::with_children(
                        Tag::Hn(level, Some(title.clone())),
                        nodes(runs),
                    ));
                }
                Block::Paragraph(runs) => {
                    tree.push(TagGroup::with_children(Tag::P, nodes(runs)));
                }
                Block::Table(rows) => tree.push(table(rows, &nodes)),
            }
        }
        tree
    }
}

fn table(rows: &[Row], nodes: &impl Fn(&[usize]) -> Vec<Node>) -> TagGroup {
    let mut table = TagGroup::new(Tag::Table);
    for row in rows {
        let mut group = TagGroup::new(Tag::TR);
        for cell in &row.cells {
            let words = TagGroup::with_children(Tag::P, nodes(cell));
            let mut placed = if row.is_head {
                TagGroup::new(Tag::TH(TableHeaderScope::Column))
            } else {
                TagGroup::new(Tag::TD)
            };
            if !cell.is_empty() {
                placed.push(words);
            }
            group.push(placed);
        }
        table.push(group);
    }
    table
}

fn draw(surface: &mut Surface<'_>, run: &Run, fonts: &[Font; 2]) {
    let font = &fonts[usize::from(run.is_bold)];
    surface.draw_text(
        Point::from_xy(run.x, run.y),
        font.clone(),
        run.size,
        &run.text,
        false,
        TextDirection::LeftToRight,
    );
}

fn ink() -> Fill {
    Fill {
        paint: rgb::Color::new(20, 18, 16).into(),
        ..Fill::default()
    }
}

fn font(bytes: &'static [u8]) -> Result<Font, ExportError> {
    Font::new(bytes.to_vec().into(), 0).ok_or_else(|| refused("a typeface cannot be read"))
}

fn day(date: NaiveDate) -> DateTime {
    let (month, day) = (date.month(), date.day());
    DateTime::new(u16::try_from(date.year()).unwrap_or(1))
        .month(u8::try_from(month).unwrap_or(1))
        .day(u8::try_from(day).unwrap_or(1))
}
