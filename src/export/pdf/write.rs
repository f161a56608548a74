//! A laid-out document as the bytes of a PDF: typefaces embedded, every run tagged, validated while it is written.
//! Where things stand is `layout`'s.

use std::num::NonZeroU16;

use chrono::{Datelike, NaiveDate};
use krilla::Document;
use krilla::SerializeSettings;
use krilla::annotation::{Annotation, LinkAnnotation, Target};
use krilla::color::rgb;
use krilla::configure::{Accessibility, Archival, ConfigurationBuilder};
use krilla::destination::{Destination, XyzDestination};
use krilla::geom::{PathBuilder, Point, Rect};
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

use super::layout::{Block, LeadsTo, PlacedRow, Rule, Run, Sheet};
use super::measure::{BOLD, PLAIN};
use super::packed::packed;
use super::{ExportError, refused};

const FOOT_SIZE: f32 = 8.5;
const THIN: f32 = 0.6;

/// A run as it was written: its text, and the link over it.
#[derive(Clone, Copy, Default)]
struct Written {
    text: Option<Identifier>,
    link: Option<Identifier>,
}

impl Sheet {
    /// The document as a PDF. `made_on` is the day that stands in it as its day of making; nothing else in it depends on
    /// the clock, so that the same figures give the same bytes. `tell` is called after each page and
    /// then as they are packed, and may stop the work.
    ///
    /// # Errors
    /// When what was laid out does not meet PDF/A-3a or PDF/UA-1.
    pub fn to_pdf(
        mut self,
        made_on: NaiveDate,
        tell: &mut dyn FnMut() -> Result<(), ExportError>,
    ) -> Result<Vec<u8>, ExportError> {
        self.number_contents();
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
        let mut written = vec![Written::default(); self.runs.len()];
        let (runs, rules) = (self.runs_by_page(), self.rules_by_page());
        for (number, (width, height)) in self.pages.iter().enumerate() {
            let settings = PageSettings::from_wh(*width, *height)
                .ok_or_else(|| refused("the paper has no size"))?;
            let mut page = document.start_page_with(settings);
            let mut surface = page.surface();
            surface.set_fill(Some(ink()));
            let here = runs.get(number).map(Vec::as_slice).unwrap_or_default();
            for idx in here {
                let Some(run) = self.runs.get(*idx) else {
                    continue;
                };
                let id = surface.start_tagged(ContentTag::Span(SpanTag::empty()));
                draw(&mut surface, run, &fonts);
                surface.end_tagged();
                if let Some(place) = written.get_mut(*idx) {
                    place.text = Some(id);
                }
            }
            for rule in rules.get(number).map(Vec::as_slice).unwrap_or_default() {
                draw_rule(&mut surface, rule);
            }
            self.draw_foot(&mut surface, number, *height, &fonts);
            surface.finish();
            for idx in here {
                let link = self.runs.get(*idx).and_then(|run| self.link(run));
                if let (Some(link), Some(place)) = (link, written.get_mut(*idx)) {
                    place.link = Some(page.add_tagged_annotation(link));
                }
            }
            page.finish();
            tell()?;
        }
        document.set_outline(self.outline());
        document.set_metadata(
            Metadata::new()
                .title(self.title.clone())
                .language("en".to_owned())
                .creation_date(day(made_on))
                .creator("Deckle".to_owned()),
        );
        document.set_tag_tree(self.tree(&written));
        tell()?;
        let document = document
            .finish()
            .map_err(|error| refused(format!("{error:?}")))?;
        tell()?;
        packed(&document, tell)
    }

    fn runs_by_page(&self) -> Vec<Vec<usize>> {
        let mut pages = vec![Vec::new(); self.pages.len()];
        for (idx, run) in self.runs.iter().enumerate() {
            if let Some(page) = pages.get_mut(run.page) {
                page.push(idx);
            }
        }
        pages
    }

    fn rules_by_page(&self) -> Vec<Vec<Rule>> {
        let mut pages = vec![Vec::new(); self.pages.len()];
        for rule in &self.rules {
            if let Some(page) = pages.get_mut(rule.page) {
                page.push(*rule);
            }
        }
        pages
    }

    /// The link over a run, when where it leads to is in the document.
    fn link(&self, run: &Run) -> Option<Annotation> {
        let (page, y, words) = match run.leads_to? {
            LeadsTo::Section(place) => {
                let section = self.sections.get(place)?;
                (section.page, section.y, section.title.clone())
            }
            LeadsTo::Mark(number) => {
                let (page, y) = *self.marks.get(&number)?;
                (page, y, format!("Entry {number} in the journal"))
            }
        };
        let measure = if run.is_bold { &self.bold } else { &self.plain };
        let wide = measure.width(&run.text, run.size).max(1.0);
        let area = Rect::from_xywh(run.x, run.y - run.size, wide, run.size * 1.3)?;
        let place = XyzDestination::new(page, Point::from_xy(0.0, (y - 8.0).max(0.0)));
        let target = Target::Destination(Destination::Xyz(place));
        Some(Annotation::new_link(
            LinkAnnotation::new(area, target),
            Some(words),
        ))
    }

    fn outline(&self) -> Outline {
        let mut outline = Outline::new();
        let top = XyzDestination::new(0, Point::from_xy(0.0, 0.0));
        outline.push_child(OutlineNode::new(self.title.clone(), top));
        for section in &self.sections {
            let place = XyzDestination::new(section.page, Point::from_xy(0.0, section.y));
            outline.push_child(OutlineNode::new(section.title.clone(), place));
        }
        outline
    }

    fn draw_foot(&self, surface: &mut Surface<'_>, page: usize, height: f32, fonts: &[Font; 2]) {
        let words = format!(
            "{} \u{2014} page {} of {}",
            self.title,
            page + 1,
            self.pages.len()
        );
        surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(
            ArtifactType::Footer,
        )));
        let run = Run {
            page,
            x: 56.0,
            y: height - 36.0,
            size: FOOT_SIZE,
            is_bold: false,
            text: words,
            leads_to: None,
        };
        draw(surface, &run, fonts);
        surface.end_tagged();
    }

    fn tree(&self, written: &[Written]) -> TagTree {
        let nodes = |runs: &[usize]| -> Vec<Node> {
            runs.iter()
                .filter_map(|run| {
                    let written = written.get(*run)?;
                    let text = Node::Leaf(written.text?);
                    Some(match written.link {
                        None => text,
                        Some(link) => {
                            TagGroup::with_children(Tag::Link, vec![text, Node::Leaf(link)]).into()
                        }
                    })
                })
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
                Block::Contents(items) => {
                    let mut contents = TagGroup::new(Tag::TOC);
                    for item in items {
                        contents.push(TagGroup::with_children(Tag::TOCI, nodes(item)));
                    }
                    tree.push(contents);
                }
                Block::Table(rows) => tree.push(table(rows, &nodes)),
            }
        }
        tree
    }
}

fn draw_rule(surface: &mut Surface<'_>, rule: &Rule) {
    let mut path = PathBuilder::new();
    path.move_to(rule.from, rule.y);
    path.line_to(rule.to, rule.y);
    let Some(path) = path.finish() else {
        return;
    };
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

fn table(rows: &[PlacedRow], nodes: &impl Fn(&[usize]) -> Vec<Node>) -> TagGroup {
    let mut table = TagGroup::new(Tag::Table);
    for row in rows {
        let mut group = TagGroup::new(Tag::TR);
        for cell in &row.cells {
            let mut placed = if row.is_head {
                TagGroup::new(Tag::TH(TableHeaderScope::Column))
            } else {
                TagGroup::new(Tag::TD)
            };
            for node in nodes(cell) {
                placed.push(node);
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
