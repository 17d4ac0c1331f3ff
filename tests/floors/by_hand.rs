//! The 26-line sheet worked by hand-written code: in plain numbers, and with dimension and doubt carried along. It knows
//! the one sheet and no worksheet's text.

use std::hint::black_box;

/// What the sheet's person measured, in SI units.
pub struct Sheet {
    strip: f64,
    width: f64,
    width_doubt: f64,
    rated: f64,
    tank: f64,
    label: (f64, f64),
    used: f64,
    walks: [f64; 3],
    catches: [f64; 3],
    catch_limit: f64,
    pace: (f64, f64),
}

/// The sheet, such that the compiler cannot work it beforehand.
pub fn measured() -> Sheet {
    const FOOT: f64 = 0.3048;
    const GALLON: f64 = 3.785411784e-3;
    const OUNCE: f64 = GALLON / 128.0;
    const PER_1000: f64 = OUNCE / (1000.0 * FOOT * FOOT);
    black_box(Sheet {
        strip: 60.0 * FOOT,
        width: 28.0 * FOOT / 12.0,
        width_doubt: FOOT / 12.0 / 1.959963984540054,
        rated: 0.2 * GALLON / 60.0,
        tank: 3.0 * GALLON,
        label: (PER_1000, 1.5 * PER_1000),
        used: 1.25 * PER_1000,
        walks: [21.4, 20.9, 21.8],
        catches: [9.5 * OUNCE, 9.25 * OUNCE, 9.75 * OUNCE],
        catch_limit: OUNCE / 8.0 / f64::sqrt(3.0),
        pace: (0.44704, 3.0 * 0.44704),
    })
}

/// Ten values and three checks in plain numbers.
pub fn plain(sheet: &Sheet) -> ([f64; 10], [bool; 3]) {
    let mean = |three: [f64; 3]| (three[0] + three[1] + three[2]) / 3.0;
    let flows = [0, 1, 2].map(|row| sheet.catches[row] / sheet.walks[row]);
    let (flow, walk, caught) = (mean(flows), mean(sheet.walks), mean(sheet.catches));
    let area = sheet.strip * sheet.width;
    let (speed, volume) = (sheet.strip / walk, caught / area);
    let dose = sheet.used * sheet.tank / volume;
    let checks = [
        sheet.label.0 <= sheet.used && sheet.used <= sheet.label.1,
        (flow - sheet.rated).abs() <= 0.1 * sheet.rated,
        sheet.pace.0 <= speed && speed <= sheet.pace.1,
    ];
    ([flows[0], flows[1], flows[2], flow, walk, caught, area, speed, volume, dose], checks)
}

/// A number with its dimension (length, time, times of the substance) and what each source contributes to its doubt:
/// the spray width, the three catches, the scatter of the three rows.
#[derive(Clone, Copy)]
pub struct Kept {
    value: f64,
    dimension: [i8; 3],
    parts: [f64; 7],
}

/// The results with their 95 % half-widths, and whether each check holds, without its doubt and with it.
type Results = ([(Kept, f64); 6], [(bool, bool); 3]);

/// Works the sheet with dimension and doubt.
pub fn with_doubt(sheet: &Sheet) -> Results {
    let strip = exact(sheet.strip, [1, 0, 0]);
    let mut width = exact(sheet.width, [1, 0, 0]);
    width.parts[0] = sheet.width_doubt;
    let walks = sheet.walks.map(|walk| exact(walk, [0, 1, 0]));
    let mut catches = sheet.catches.map(|caught| exact(caught, [3, 0, 0]));
    for (reading, caught) in catches.iter_mut().enumerate() {
        caught.parts[1 + reading] = sheet.catch_limit;
    }
    let flow = mean([0, 1, 2].map(|row| catches[row].over(&walks[row])));
    let speed = strip.over(&mean(walks));
    let area = strip.times(&width);
    let volume = mean(catches).over(&area);
    let dose = exact(sheet.used, [1, 0, 1]).times(&exact(sheet.tank, [3, 0, 0])).over(&volume);
    let used = exact(sheet.used, [1, 0, 1]);
    let rated = exact(sheet.rated, [3, -1, 0]);
    let checks = [
        used.between(sheet.label.0, sheet.label.1),
        flow.between(0.9 * rated.value, 1.1 * rated.value),
        speed.between(sheet.pace.0, sheet.pace.1),
    ];
    ([area, flow, speed, volume, dose, used].map(|value| (value, value.half_width())), checks)
}

fn exact(value: f64, dimension: [i8; 3]) -> Kept {
    Kept { value, dimension, parts: [0.0; 7] }
}

impl Kept {
    fn joined(&self, value: f64, own: f64, other: &Self, their: f64, sign: i8) -> Self {
        let place = |place: usize| self.dimension[place] + sign * other.dimension[place];
        let part = |part: usize| own * self.parts[part] + their * other.parts[part];
        Self { value, dimension: [0, 1, 2].map(place), parts: [0, 1, 2, 3, 4, 5, 6].map(part) }
    }

    fn times(&self, other: &Self) -> Self {
        self.joined(self.value * other.value, other.value, other, self.value, 1)
    }

    fn over(&self, other: &Self) -> Self {
        let value = self.value / other.value;
        self.joined(value, 1.0 / other.value, other, -value / other.value, -1)
    }

    /// The half-width: a Student factor at the effective degrees of freedom, of which only the scatter has some.
    fn half_width(&self) -> f64 {
        const T: [f64; 8] = [12.7062, 4.30265, 3.18245, 2.77645, 2.57058, 2.44691, 2.36462, 2.306];
        let [width, first, second, third, rows @ ..] = self.parts;
        let catches = first + second + third;
        let scatter = rows.iter().map(|part| part * part).sum::<f64>();
        let variance = width * width + catches * catches + scatter;
        let freedom = 2.0 * variance * variance / (scatter * scatter);
        let factor = T.get((freedom as usize).max(1) - 1).copied().unwrap_or(1.96);
        factor * variance.sqrt()
    }

    /// Whether it lies between two limits, and whether it does so with its doubt.
    fn between(&self, low: f64, high: f64) -> (bool, bool) {
        let distance = (self.value - low).min(high - self.value);
        (distance >= 0.0, distance >= self.half_width())
    }
}

/// The mean of repeats: what each source gives to it, and the scatter of the rows (GUM 4.2.3).
fn mean(three: [Kept; 3]) -> Kept {
    let value = (three[0].value + three[1].value + three[2].value) / 3.0;
    let mut mean = exact(value, three[0].dimension);
    for (row, own) in three.iter().enumerate() {
        for (whole, part) in mean.parts.iter_mut().zip(own.parts) {
            *whole += part / 3.0;
        }
        mean.parts[4 + row] = (own.value - value) / f64::sqrt(6.0);
    }
    mean
}
