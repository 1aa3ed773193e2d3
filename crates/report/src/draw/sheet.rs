//! The sheet: shapes, labels, two palettes.

use svg::Document;
use svg::node::Text as Words;
use svg::node::element::{Circle, Element, Line, Path, Polygon, Polyline, Rectangle, Style};

use super::place::Rect;
use crate::text::{clean, columns};

/// Height of small text, of usual text, of the title.
pub(super) const SMALL: f64 = 12.0;
const TITLE: f64 = 19.0;
/// Width of a character as a share of its height, on the wide side: which font a reader has is not known.
const CHARACTER: f64 = 0.62;
/// Height of a line as a share of the height of its text, and where in it the text stands.
const LEADING: f64 = 1.25;
const BASELINE: f64 = 0.95;

/// Light first, dark by the reader's setting. Written out twice: not every viewer knows variables.
const STYLE: &str = "
.rp text{font-family:system-ui,'DejaVu Sans',sans-serif;font-size:12px;fill:#1a1a1a;stroke:#ffffff;stroke-width:3px;stroke-linejoin:round;paint-order:stroke}
.rp .title{font-size:19px;font-weight:600}.rp .strong{font-weight:600}.rp .number{font-size:10px;stroke:none}
.rp .paper{fill:#ffffff}
.rp .ground{stroke:#1a1a1a;stroke-width:2}.rp .thin{stroke:#6b6b6b;stroke-width:1}.rp .leader{stroke:#6b6b6b;stroke-width:0.8}
.rp .chassis{fill:#dfe3e8;stroke:#5c6670}.rp .body{fill:#f1f6fb;stroke:#2f5d8a;stroke-width:2}.rp .piece{fill:#f6e9cf;stroke:#7a5b1e}
.rp .tank{fill:#d3e9f5;stroke:#1e5f7a}.rp .person{fill:#e9dcf2;stroke:#6a3f86}.rp .piece,.rp .tank,.rp .person{fill-opacity:0.65}.rp .out{fill:none;stroke:#7a5b1e;stroke-dasharray:5 3}.rp .trailer{fill:#eceff1;stroke:#5c6670}
.rp .tyre{fill:#5a5f66;stroke:#1a1a1a}.rp .hub{fill:#c9ced4;stroke:#1a1a1a}.rp .dot{fill:#ffffff;stroke:#1a1a1a}.rp .spot{fill:#1a1a1a}
.rp .centre{stroke:#b0007a;stroke-width:2;fill:none}.rp .doubt{fill:#b0007a;fill-opacity:0.18;stroke:#b0007a}.rp .angle{stroke:#0b6e4f;stroke-width:1.6;stroke-dasharray:9 4}
.rp .allowed{stroke:#1a1a1a;stroke-width:1.6;stroke-dasharray:2 4}.rp .passes{fill:#0b6e4f;fill-opacity:0.12}.rp .band{fill:#2f5d8a;fill-opacity:0.16}.rp .load{stroke:#2f5d8a;stroke-width:1.6}.rp .bar{fill:#9db7d1;stroke:#2f5d8a}.rp .limit{stroke:#1a1a1a;stroke-width:3}
@media (prefers-color-scheme:dark){
.rp text{fill:#ececec;stroke:#15181c}.rp .number{stroke:none}.rp .paper{fill:#15181c}.rp .ground{stroke:#ececec}.rp .thin,.rp .leader{stroke:#a4a9b0}
.rp .chassis{fill:#343a42;stroke:#aab4bf}.rp .body{fill:#1d2833;stroke:#86b6e6}.rp .piece{fill:#463a20;stroke:#e0bd74}.rp .tank{fill:#1b3d4d;stroke:#7fc6e6}
.rp .person{fill:#3b2c47;stroke:#c9a2e6}.rp .out{fill:none;stroke:#e0bd74}.rp .trailer{fill:#2a2f35;stroke:#aab4bf}.rp .tyre{fill:#0a0b0d;stroke:#cfd4da}.rp .hub{fill:#6a7078;stroke:#cfd4da}
.rp .dot{fill:#15181c;stroke:#ececec}.rp .spot{fill:#ececec}.rp .centre{stroke:#ff7acb}.rp .doubt{fill:#ff7acb;fill-opacity:0.25;stroke:#ff7acb}.rp .angle{stroke:#6fdcb4}
.rp .allowed,.rp .limit{stroke:#ececec}.rp .passes{fill:#6fdcb4;fill-opacity:0.16}.rp .band{fill:#86b6e6;fill-opacity:0.2}.rp .load{stroke:#86b6e6}.rp .bar{fill:#2f5d8a;stroke:#86b6e6}}
";

/// Where in its box a text stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Anchor {
    Left,
    Middle,
    Right,
}

/// A label as it was placed.
#[derive(Clone, Debug)]
#[cfg_attr(not(test), expect(dead_code, reason = "only tests ask where a label stands"))]
pub(super) struct Label {
    pub(super) lines: Vec<String>,
    pub(super) rect: Rect,
}

/// A drawing in the making.
#[derive(Debug)]
pub(super) struct Sheet {
    pub(super) width: f64,
    pub(super) height: f64,
    shapes: Vec<Element>,
    texts: Vec<Element>,
    labels: Vec<Label>,
    title: String,
    described: String,
    styles: Vec<&'static str>,
}

/// Room that lines of small text take.
pub(super) fn room(lines: &[String]) -> (f64, f64) {
    let widest = lines.iter().map(|line| columns(line)).max().unwrap_or(0);
    (widest as f64 * CHARACTER * SMALL, lines.len() as f64 * SMALL * LEADING)
}

/// Columns of small text that fit a width.
pub(super) fn fitting(width: f64) -> usize {
    // Widths are those of a sheet: a few thousand at most.
    (width / (CHARACTER * SMALL)).floor().max(0.0) as usize
}

impl Sheet {
    /// A sheet of that width with its title; the height grows with what is drawn.
    pub(super) fn new(title: &str, width: f64) -> Self {
        let mut sheet = Self {
            width,
            height: 0.0,
            shapes: Vec::new(),
            texts: Vec::new(),
            labels: Vec::new(),
            title: clean(title),
            described: String::new(),
            styles: Vec::new(),
        };
        let room_for = (width - 40.0) / (CHARACTER * TITLE);
        let line = crate::text::cut(&sheet.title, room_for.floor().max(0.0) as usize);
        let rect = Rect::new(20.0, 14.0, columns(&line) as f64 * CHARACTER * TITLE, TITLE * LEADING);
        sheet.write("title", &line, (rect.x, rect.y + TITLE), Anchor::Left);
        sheet.labels.push(Label { lines: vec![line], rect });
        sheet
    }

    /// Where the picture may begin.
    pub(super) fn top(&self) -> f64 {
        46.0
    }

    pub(super) fn line(&mut self, class: &str, (x1, y1): (f64, f64), (x2, y2): (f64, f64)) {
        let line = Line::new()
            .set("class", class)
            .set("x1", figure(x1))
            .set("y1", figure(y1))
            .set("x2", figure(x2))
            .set("y2", figure(y2));
        self.shapes.push(line.into());
    }

    pub(super) fn rect(&mut self, class: &str, rect: Rect) {
        let shape = Rectangle::new().set("class", class).set("x", figure(rect.x)).set("y", figure(rect.y));
        self.shapes.push(shape.set("width", figure(rect.w.max(0.0))).set("height", figure(rect.h.max(0.0))).into());
    }

    pub(super) fn polygon(&mut self, class: &str, corners: &[(f64, f64)]) {
        self.shapes.push(Polygon::new().set("class", class).set("points", points(corners)).into());
    }

    pub(super) fn polyline(&mut self, class: &str, places: &[(f64, f64)]) {
        self.shapes.push(Polyline::new().set("class", class).set("points", points(places)).into());
    }

    pub(super) fn circle(&mut self, class: &str, (x, y): (f64, f64), radius: f64) {
        self.shapes.push(
            Circle::new().set("class", class).set("cx", figure(x)).set("cy", figure(y)).set("r", figure(radius.max(0.0))).into(),
        );
    }

    /// A shape from a path that we wrote: letters and numbers, never text of the audit.
    pub(super) fn path(&mut self, class: &str, path: &str, transform: Option<&str>) {
        let shape = Path::new().set("class", class).set("d", path);
        self.shapes.push(transform.map_or_else(|| shape.clone(), |transform| shape.clone().set("transform", transform)).into());
    }

    /// What the picture says, in a sentence, for those who cannot see it.
    pub(super) fn describe(&mut self, text: &str) {
        self.described = clean(text);
    }

    /// Classes that only some pictures have.
    pub(super) fn style(&mut self, style: &'static str) {
        self.styles.push(style);
    }

    /// Lines of text in a box that was placed for them; the first one strong if asked.
    pub(super) fn label(&mut self, rect: Rect, lines: &[String], anchor: Anchor, first_strong: bool) {
        let x = match anchor {
            Anchor::Left => rect.x,
            Anchor::Middle => rect.middle().0,
            Anchor::Right => rect.right(),
        };
        let mut y = rect.y + SMALL * BASELINE;
        for (at, line) in lines.iter().enumerate() {
            self.write(if at == 0 && first_strong { "strong" } else { "text" }, line, (x, y), anchor);
            y += SMALL * LEADING;
        }
        self.labels.push(Label { lines: lines.to_vec(), rect });
    }

    /// A number in its dot.
    pub(super) fn dot(&mut self, rect: Rect, number: usize) {
        let (x, y) = rect.middle();
        self.circle("dot", (x, y), rect.w / 2.0);
        self.write("number", &number.to_string(), (x, y + SMALL * 0.3), Anchor::Middle);
        self.labels.push(Label { lines: vec![number.to_string()], rect });
    }

    fn write(&mut self, class: &str, line: &str, (x, y): (f64, f64), anchor: Anchor) {
        let mut text = Element::new("text");
        let attributes = text.get_attributes_mut();
        attributes.insert("class".to_owned(), class.into());
        attributes.insert("x".to_owned(), figure(x).into());
        attributes.insert("y".to_owned(), figure(y).into());
        let side = match anchor {
            Anchor::Left => None,
            Anchor::Middle => Some("middle"),
            Anchor::Right => Some("end"),
        };
        if let Some(side) = side {
            attributes.insert("text-anchor".to_owned(), side.into());
        }
        text.get_children_mut().push(Box::new(Words::new(clean(line))));
        self.texts.push(text);
    }

    /// Every label with its box.
    #[cfg(test)]
    pub(super) fn labels(&self) -> &[Label] {
        &self.labels
    }

    /// The drawing. Texts come last, so that no shape covers one.
    pub(super) fn svg(self) -> String {
        let mut title = Element::new("title");
        title.get_children_mut().push(Box::new(Words::new(self.title.clone())));
        let paper = Rectangle::new().set("class", "paper").set("width", "100%").set("height", "100%");
        let mut document = Document::new()
            .set("class", "rp")
            .set("role", "img")
            .set("viewBox", format!("0 0 {} {}", figure(self.width), figure(self.height)))
            .add(title);
        if !self.described.is_empty() {
            let mut description = Element::new("desc");
            description.get_children_mut().push(Box::new(Words::new(self.described)));
            document = document.add(description);
        }
        document = document.add(Style::new(format!("{STYLE}{}", self.styles.concat()))).add(paper);
        for element in self.shapes.into_iter().chain(self.texts) {
            document = document.add(element);
        }
        format!("{document}\n")
    }
}

fn points(places: &[(f64, f64)]) -> String {
    let points: Vec<String> = places.iter().map(|(x, y)| format!("{},{}", figure(*x), figure(*y))).collect();
    points.join(" ")
}

/// A coordinate with one decimal: a tenth of a point is finer than any line.
pub(super) fn figure(x: f64) -> String {
    let text = format!("{x:.1}");
    if text == "-0.0" { "0.0".to_owned() } else { text }
}
