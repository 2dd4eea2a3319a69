//! The lumen of one ear as a line graph: cells of a tenth of a millimetre along the three ducts and the
//! common crus, where each leads, and how deep a piece of debris lies in it for a direction of gravity.
//!
//! The utricle is a sink: what a piece does there is left to the engine.

use lithodrome_debris::{Physics, Rolling, drag::axis_resistance, stokes_speed_mm_s};
use lithodrome_labyrinth::{Canal, EarShape, Hint, Region, Vec3};

use super::around::Around;
use super::drain::Drain;

/// Spacing of the cells along a duct, mm.
const SPACING_MM: f64 = 0.1;
/// The posterior tube ends where its axis comes so near to that of the crus, mm: what is left of it is a pit
/// in the model of two tubes, not in the lumen.
const JOINED_MM: f64 = 0.2;
/// Anterior and posterior duct may open into each other over this last part of the posterior one, mm.
const CROTCH_MM: f64 = 3.5;

/// Cells of the crus to either side of the nearest one that a piece may cross to from the posterior duct.
const REACH: usize = 3;
/// Over this last part of a course its wall may flare into the utricle's, mm.
const MOUTH_MM: f64 = 1.5;

/// One piece of debris as the line graph knows it: a ball that rolls.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineDebris {
    /// Radius, mm.
    pub radius_mm: f64,
    /// Distance of its centre from the wall, mm.
    pub rest_mm: f64,
    /// Resistance to rolling over the force that presses it on the wall.
    pub resistance: f64,
    /// Speed along a wall over that in free fluid.
    pub mobility: f64,
    /// Speed in free fluid, mm/s.
    pub free_mm_s: f64,
}

impl LineDebris {
    /// A clump of a diameter in µm and a density in g/cm³ that rolls at a gap (in radii) with a resistance.
    pub fn new(diameter_um: f64, density_g_cm3: f64, resistance: f64, gap: f64) -> LineDebris {
        let radius_mm = diameter_um / 2000.0;
        LineDebris {
            radius_mm,
            rest_mm: radius_mm * (1.0 + gap),
            resistance,
            mobility: Rolling::at_gap(gap).mobility,
            free_mm_s: stokes_speed_mm_s(radius_mm, density_g_cm3, &Physics::default()),
        }
    }
}

/// A cell: a short piece of lumen.
#[derive(Clone, Debug)]
struct Cell {
    region: Region,
    /// As in [`lithodrome_debris::Place`]: from the cupula in a duct, from its top in the crus.
    arc_mm: f64,
    centre: Vec3,
    tangent: Vec3,
    curvature: Vec3,
    /// From the axis to the centre of a piece that lies on the wall, mm; the wall may be round or not.
    reach_mm: f64,
    around: Option<Around>,
    /// Speed of rolling down a slope of 90° without resistance, mm/s.
    speed_mm_s: f64,
    /// The way along the lumen to the utricle, mm.
    way_mm: f64,
    out: bool,
    /// Where a look at the wall from its centre begins.
    hint: Hint,
}

/// Two cells that lead into each other.
#[derive(Clone, Copy, Debug)]
struct Link {
    cells: [u16; 2],
    length_mm: f64,
    /// Along one tube; else across from one into the other.
    along: bool,
}

/// The lumen of one ear for one piece of debris.
#[derive(Clone, Debug)]
pub struct LineGraph {
    cells: Vec<Cell>,
    links: Vec<Link>,
    /// First cell of each duct, `[canal]`.
    first: [usize; 3],
    /// Last cell of the posterior duct and the cell of the crus that it becomes.
    join: [usize; 2],
    resistance: f64,
}

impl LineGraph {
    /// The graph of an ear.
    pub fn of(ear: &EarShape, debris: &LineDebris) -> LineGraph {
        let mut graph = LineGraph {
            cells: Vec::new(),
            links: Vec::new(),
            first: [0; 3],
            join: [0; 2],
            resistance: debris.resistance,
        };
        for canal in Canal::ALL {
            graph.add_duct(ear, canal, debris);
        }
        graph.join_posterior(ear, debris);
        graph.measure_ways();
        let sink = Cell {
            region: Region::Utricle,
            arc_mm: 0.0,
            around: None,
            way_mm: 0.0,
            out: true,
            ..graph.cells[0].clone()
        };
        graph.cells.push(sink);
        graph
    }

    /// How many cells there are.
    pub fn len(&self) -> usize {
        self.cells.len()
    }

    /// There is always a cell.
    pub fn is_empty(&self) -> bool {
        self.cells.is_empty()
    }

    /// The cell of a duct nearest to an arc length from its cupula, mm.
    pub fn cell_at(&self, canal: Canal, arc_mm: f64) -> usize {
        let off = |cell: &Cell| {
            if cell.region == Region::Duct(canal) {
                (cell.arc_mm - arc_mm).abs()
            } else {
                f64::INFINITY
            }
        };
        (0..self.cells.len())
            .min_by(|&a, &b| off(&self.cells[a]).total_cmp(&off(&self.cells[b])))
            .unwrap_or(0)
    }

    /// Whether a cell lies in the utricle.
    pub fn is_out(&self, cell: usize) -> bool {
        self.cells[cell].out
    }

    /// The part of a cell and its arc length there, mm, as in [`lithodrome_debris::Place`].
    pub fn place(&self, cell: usize) -> (Region, f64) {
        (self.cells[cell].region, self.cells[cell].arc_mm)
    }

    /// The way from a cell to the utricle along the lumen, mm.
    pub fn way_mm(&self, cell: usize) -> f64 {
        self.cells[cell].way_mm
    }

    /// Where pieces go with gravity in this direction, unit, Reid axes.
    pub fn drain(&self, down: &Vec3) -> Drain {
        let mut depths: Vec<Depth> = self.cells.iter().map(|c| c.depth(down)).collect();
        // They are one place, whichever tube's wall is deeper there.
        let [end, crus] = self.join;
        depths[end].mm = depths[end].mm.min(depths[crus].mm - 1e-6);
        let mut drain = Drain::still(self.cells.len());
        for link in &self.links {
            let [a, b] = link.cells.map(usize::from);
            let deeper_mm = depths[b].mm - depths[a].mm;
            let (from, to) = if deeper_mm > 0.0 { (a, b) } else { (b, a) };
            if self.cells[from].out || depths[from].out {
                continue;
            }
            let stretch = if link.along {
                0.5 * (depths[a].stretch + depths[b].stretch)
            } else {
                1.0
            };
            let length_mm = link.length_mm * stretch;
            let slope = (deeper_mm.abs() / length_mm).min(1.0);
            // What is one place has no slope that could resist.
            let resistance = if [a, b] == self.join {
                0.0
            } else {
                self.resistance
            };
            let left = slope - resistance * (1.0 - slope * slope).sqrt();
            if left > 1e-6 {
                let speed_mm_s = left * self.cells[from].speed_mm_s;
                drain.offer(from, to, left, length_mm / speed_mm_s);
            }
        }
        // A piece that lies on the wall there is in the utricle already.
        let sink = self.cells.len() - 1;
        for (cell, _) in depths.iter().enumerate().filter(|(_, depth)| depth.out) {
            drain.offer(cell, sink, 1.0, 0.0);
        }
        drain
    }

    fn add_duct(&mut self, ear: &EarShape, canal: Canal, debris: &LineDebris) {
        let marks = ear.canal(canal).landmarks;
        let face_mm = ear.canal(canal).cupula.thickness_mm / 2.0 + debris.rest_mm;
        let end_mm = if canal == Canal::Posterior {
            self.posterior_end_mm(ear)
        } else {
            marks.opening_mm
        };
        let mut n = ((end_mm - face_mm) / SPACING_MM).ceil().max(1.0) as usize;
        let spacing_mm = (end_mm - face_mm) / n as f64;
        if canal != Canal::Posterior {
            // One cell beyond the opening: what gets there is out.
            n += 1;
        }
        let arcs_mm: Vec<f64> = (0..=n).map(|i| face_mm + i as f64 * spacing_mm).collect();
        let first = self.cells.len();
        self.first[canal.index()] = first;
        for (i, hint) in hints(ear, canal, &arcs_mm).into_iter().enumerate() {
            let mut cell = cell(ear, canal, arcs_mm[i], hint, debris);
            cell.out = canal != Canal::Posterior && i == n;
            self.cells.push(cell);
        }
        self.links.extend((first..first + n).map(|i| Link {
            cells: [i as u16, i as u16 + 1],
            length_mm: spacing_mm,
            along: true,
        }));
    }

    /// Where the posterior duct has become the crus, mm from its cupula.
    fn posterior_end_mm(&self, ear: &EarShape) -> f64 {
        let tube = ear.tube(Canal::Posterior);
        let (_, to_mm) = tube.range_mm();
        let end_mm = ear.canal(Canal::Posterior).landmarks.duct_end_mm;
        let from_mm = end_mm - CROTCH_MM;
        let n = ((to_mm - from_mm) / SPACING_MM) as usize;
        (0..=n)
            .map(|i| from_mm + i as f64 * SPACING_MM)
            .find(|mm| self.nearest_anterior(&tube.at(*mm).0).1 < JOINED_MM)
            .unwrap_or(end_mm.min(to_mm))
    }

    /// The cell of anterior duct and crus with the nearest axis, and how far that is, mm.
    fn nearest_anterior(&self, at: &Vec3) -> (usize, f64) {
        let end = self
            .cells
            .iter()
            .position(|c| c.region == Region::Duct(Canal::Lateral))
            .unwrap_or(self.cells.len());
        let off = |i: &usize| (self.cells[*i].centre - at).norm();
        let nearest = (0..end).min_by(|a, b| off(a).total_cmp(&off(b)));
        nearest.map_or((0, f64::INFINITY), |i| (i, off(&i)))
    }

    /// Links the posterior duct with crus and anterior duct wherever a piece fits through between them.
    fn join_posterior(&mut self, ear: &EarShape, debris: &LineDebris) {
        let first = self.first[Canal::Posterior.index()];
        let last = self.cells.len() - 1;
        let from_mm = self.cells[last].arc_mm - CROTCH_MM;
        let lateral = Region::Duct(Canal::Lateral);
        for i in first..=last {
            if self.cells[i].arc_mm < from_mm {
                continue;
            }
            let here = self.cells[i].centre;
            let (nearest, apart_mm) = self.nearest_anterior(&here);
            for j in nearest.saturating_sub(REACH)..=nearest + REACH {
                let Some(there) = self.cells.get(j).filter(|c| c.region != lateral) else {
                    continue;
                };
                let middle = 0.5 * (here + there.centre);
                let mut hint = self.cells[i].hint;
                let joined = i == last && j == nearest;
                if joined || ear.wall(middle, &mut hint).depth_mm >= debris.rest_mm {
                    self.links.push(Link {
                        cells: [i as u16, j as u16],
                        length_mm: (here - there.centre).norm().max(apart_mm).max(0.02),
                        along: false,
                    });
                }
            }
            if i == last {
                self.join = [i, nearest];
            }
        }
    }

    /// The way to the utricle from every cell, by rounds along the links.
    fn measure_ways(&mut self) {
        for cell in &mut self.cells {
            cell.way_mm = if cell.out { 0.0 } else { f64::INFINITY };
        }
        let mut shorter = true;
        while shorter {
            shorter = false;
            // To and fro, so that a few rounds are enough.
            for k in (0..self.links.len()).chain((0..self.links.len()).rev()) {
                let Link {
                    cells, length_mm, ..
                } = self.links[k];
                let [a, b] = cells.map(usize::from);
                for (from, to) in [(a, b), (b, a)] {
                    let way_mm = self.cells[from].way_mm + length_mm;
                    if way_mm < self.cells[to].way_mm - 1e-9 {
                        self.cells[to].way_mm = way_mm;
                        shorter = true;
                    }
                }
            }
        }
    }
}

/// How deep a piece lies in a cell.
#[derive(Clone, Copy)]
struct Depth {
    /// Along gravity, mm.
    mm: f64,
    /// Length of its way over that of the axis.
    stretch: f64,
    /// It is in the utricle, though the axis is not.
    out: bool,
}

impl Cell {
    fn depth(&self, down: &Vec3) -> Depth {
        let along = self.tangent.dot(down);
        let across = down - self.tangent * along;
        let steep = across.norm();
        if steep < 1e-6 {
            return Depth {
                mm: self.centre.dot(down),
                stretch: 1.0,
                out: false,
            };
        }
        let (reach_mm, out) = match &self.around {
            Some(around) => around.look(&across),
            None => (self.reach_mm, false),
        };
        let bend = across.dot(&self.curvature) / steep;
        // Where the wall is far because another part begins there, the way is not that of this bend.
        let stretch = 1.0 - reach_mm.min(self.reach_mm) * bend;
        Depth {
            mm: self.centre.dot(down) + steep * reach_mm,
            stretch: stretch.max(0.25),
            out: out && !self.out,
        }
    }
}

/// Where looks at the wall from places on a duct's axis begin, `[place]`. Parts that lie side by side without
/// an opening are told apart by following the axis from the middle of the duct, as a piece would.
fn hints(ear: &EarShape, canal: Canal, arcs_mm: &[f64]) -> Vec<Hint> {
    let centre = |i: usize| ear.course_point(canal, arcs_mm[i]).point_in_reid_mm;
    let middle = arcs_mm.len() / 2;
    let mut hints = vec![ear.find(centre(middle)); arcs_mm.len()];
    let mut follow = |places: &mut dyn Iterator<Item = usize>| {
        let mut hint = hints[middle];
        for i in places {
            ear.wall(centre(i), &mut hint);
            hints[i] = hint;
        }
    };
    follow(&mut (middle..arcs_mm.len()));
    follow(&mut (0..middle).rev());
    hints
}

fn cell(ear: &EarShape, canal: Canal, arc_mm: f64, mut hint: Hint, debris: &LineDebris) -> Cell {
    let point = ear.course_point(canal, arc_mm);
    let centre = point.point_in_reid_mm;
    let wall = ear.wall(centre, &mut hint);
    let region = ear.region_of(canal, arc_mm);
    let top_mm = ear.canal(Canal::Anterior).landmarks.duct_end_mm;
    let lambda = (debris.radius_mm / point.radius_mm).min(0.999);
    // Between the two ducts of the crus a piece crosses by a link; only at a mouth is the wall looked for.
    let opening_mm = ear.canal(canal).landmarks.opening_mm;
    let at_mouth = canal != Canal::Posterior && arc_mm > opening_mm - MOUTH_MM && !wall.alone;
    let around = at_mouth.then(|| Around::of(ear, &point, hint, debris.rest_mm));
    Cell {
        region,
        arc_mm: match region {
            Region::CommonCrus => arc_mm - top_mm,
            _ => arc_mm,
        },
        centre,
        tangent: point.tangent_in_reid,
        curvature: point.curvature_in_reid_per_mm,
        reach_mm: (point.radius_mm - debris.rest_mm).max(0.0),
        around,
        speed_mm_s: debris.free_mm_s * debris.mobility.min(1.0 / axis_resistance(lambda)),
        way_mm: f64::INFINITY,
        out: false,
        hint,
    }
}
