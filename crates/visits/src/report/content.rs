//! What a report says, before it is set.

/// A report.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Report {
    /// At the top, and at the foot of every page.
    pub title: String,
    /// One line below it.
    pub subtitle: String,
    /// All else, in order.
    pub parts: Vec<ReportPart>,
}

/// One part of a report.
#[derive(Clone, Debug, PartialEq)]
pub enum ReportPart {
    /// A heading over what follows.
    Heading(String),
    /// A sentence that matters most.
    Strong(String),
    /// Text.
    Paragraph(String),
    /// A list.
    Points(Vec<String>),
    /// A table.
    Table(PaperTable),
    /// Arrays of dots beside each other.
    Dots(Vec<DotArray>),
    /// Curves in one picture.
    Curves(Curves),
    /// Numbers over two axes.
    Map(Map),
    /// What follows begins on another page.
    PageBreak,
}

/// A table: the first column to the left, the others to the right.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PaperTable {
    /// Names of the columns.
    pub head: Vec<String>,
    /// Rows of as many cells.
    pub rows: Vec<Vec<String>>,
}

/// Dots in rows of ten, told apart by shape.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DotArray {
    /// What they are of.
    pub title: String,
    /// The dots, in order.
    pub groups: Vec<DotGroup>,
}

/// Dots of one shape.
#[derive(Clone, Debug, PartialEq)]
pub struct DotGroup {
    /// Their shape.
    pub shape: DotShape,
    /// How many dots.
    pub dots: usize,
    /// What they are, beside the array.
    pub words: String,
}

/// A shape of a dot that is told from the others in black and white.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DotShape {
    /// A disc.
    Full,
    /// A ring with its left half filled.
    Half,
    /// A ring.
    Ring,
    /// A ring with a bar.
    Bar,
    /// A ring with a point.
    Point,
    /// A triangle.
    Triangle,
    /// A triangle's outline.
    OpenTriangle,
    /// A cross.
    Cross,
}

/// Curves over one axis.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Curves {
    /// What the axis is, with its unit.
    pub x_label: String,
    /// What the curves are, with their unit.
    pub y_label: String,
    /// Lower and upper end of the other axis.
    pub y_range: [f64; 2],
    /// The axis is logarithmic.
    pub x_is_logarithmic: bool,
    /// The curves; the first solid, the others dashed.
    pub curves: Vec<PaperCurve>,
}

/// One curve.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PaperCurve {
    /// Written at its end.
    pub name: String,
    /// Its points.
    pub points: Vec<[f64; 2]>,
    /// Lower and upper end of its band at every point; none if empty.
    pub band: Vec<[f64; 2]>,
}

/// Numbers over two axes, darker where they are larger.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Map {
    /// What goes to the right.
    pub x_label: String,
    /// Its values.
    pub x_values: Vec<String>,
    /// What goes up.
    pub y_label: String,
    /// Its values.
    pub y_values: Vec<String>,
    /// The numbers, `[y][x]`.
    pub numbers: Vec<Vec<f64>>,
    /// Least and largest number, white and grey.
    pub range: [f64; 2],
}
