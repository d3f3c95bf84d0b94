//! Grids of numbers over the picture, coarser than its pixels: shade, sky, depth below an edge.

/// A grid each of whose cells covers `step` × `step` pixels.
pub struct Field {
    pub width: usize,
    pub height: usize,
    pub step: usize,
    pub cells: Vec<f32>,
}

impl Field {
    /// The mean of a full-size grid over each cell.
    pub fn shrunk(full: &[f32], width: usize, height: usize, step: usize) -> Self {
        let (w, h) = (width.div_ceil(step), height.div_ceil(step));
        let mut cells = Vec::with_capacity(w * h);
        for row in 0..h {
            let rows = row * step..((row + 1) * step).min(height);
            for column in 0..w {
                let columns = column * step..((column + 1) * step).min(width);
                let count = (rows.len() * columns.len()) as f32;
                let sum: f32 = rows
                    .clone()
                    .map(|y| full[y * width + columns.start..y * width + columns.end].iter().sum::<f32>())
                    .sum();
                cells.push(sum / count);
            }
        }
        Self { width: w, height: h, step, cells }
    }

    /// The value at a pixel, between the four nearest cells.
    #[inline]
    pub fn at(&self, x: usize, y: usize) -> f32 {
        if self.step == 1 {
            return self.cells[y * self.width + x];
        }
        let place = |v: usize, most: usize| {
            let cell = ((v as f32 + 0.5) / self.step as f32 - 0.5).clamp(0.0, (most - 1) as f32);
            (cell as usize, (cell as usize + 1).min(most - 1), cell - (cell as usize) as f32)
        };
        let (x0, x1, tx) = place(x, self.width);
        let (y0, y1, ty) = place(y, self.height);
        let row = |y: usize| {
            let (a, b) = (self.cells[y * self.width + x0], self.cells[y * self.width + x1]);
            a + (b - a) * tx
        };
        let (top, bottom) = (row(y0), row(y1));
        top + (bottom - top) * ty
    }

    /// The value of the cell a pixel lies in.
    #[inline]
    pub fn near(&self, x: usize, y: usize) -> f32 {
        self.cells[y / self.step * self.width + x / self.step]
    }

    /// The same grid in finer cells.
    pub fn refined(&self, width: usize, height: usize, step: usize) -> Field {
        let (w, h) = (width.div_ceil(step), height.div_ceil(step));
        let at = |i: usize| self.at((i % w * step).min(width - 1), (i / w * step).min(height - 1));
        Field { width: w, height: h, step, cells: (0..w * h).map(at).collect() }
    }

    /// Blurred twice by a box of a radius in cells, which comes near a soft round blur.
    pub fn blurred(mut self, radius: usize) -> Self {
        if radius > 0 {
            let mut turned = vec![0.0; self.cells.len()];
            for _ in 0..2 {
                box_rows(&self.cells, &mut turned, self.width, radius);
                box_rows(&turned, &mut self.cells, self.height, radius);
            }
        }
        self
    }
}

/// Averages along each row of a grid and writes the result with rows and columns exchanged.
fn box_rows(from: &[f32], to: &mut [f32], width: usize, radius: usize) {
    let height = from.len() / width;
    let share = 1.0 / (2 * radius + 1) as f32;
    for (y, row) in from.chunks_exact(width).enumerate() {
        let at = |i: isize| row[i.clamp(0, width as isize - 1) as usize];
        let reach = radius as isize;
        let mut sum: f32 = (-reach..=reach).map(at).sum();
        for x in 0..width {
            to[x * height + y] = sum * share;
            sum += at(x as isize + reach + 1) - at(x as isize - reach);
        }
    }
}

/// How deep each pixel lies within a shape, in pixels: the distance to the nearest pixel outside it.
///
/// Two passes over squared distances (Felzenszwalb and Huttenlocher 2012, "Distance transforms of sampled functions").
pub fn depth(mask: &[u8], width: usize, height: usize, step: usize) -> Field {
    let (w, h) = (width.div_ceil(step), height.div_ceil(step));
    let inside =
        |x: usize, y: usize| mask[(y * step).min(height - 1) * width + (x * step).min(width - 1)] > 127;
    let far = (w + h) as f32;
    let mut column = vec![0.0f32; w * h];
    for y in 0..h {
        for x in 0..w {
            let above = if y > 0 { column[(y - 1) * w + x] } else { 0.0 };
            column[y * w + x] = if inside(x, y) { (above + 1.0).min(far) } else { 0.0 };
        }
    }
    for y in (0..h).rev() {
        for x in 0..w {
            let below = if y + 1 < h { column[(y + 1) * w + x] } else { 0.0 };
            column[y * w + x] = column[y * w + x].min(below + 1.0);
        }
    }
    let mut envelope = Envelope::new(w);
    for row in column.chunks_exact_mut(w) {
        envelope.lower(row);
    }
    let cells = column.into_iter().map(|d| (d - 0.5).max(0.0) * step as f32).collect();
    Field { width: w, height: h, step, cells }
}

/// Room for the parabolas under which a row is searched.
struct Envelope {
    squares: Vec<f32>,
    foot: Vec<usize>,
    from: Vec<f32>,
}

impl Envelope {
    fn new(width: usize) -> Self {
        Self { squares: vec![0.0; width], foot: vec![0; width], from: vec![0.0; width + 1] }
    }

    /// Replaces distances along columns by true distances.
    fn lower(&mut self, row: &mut [f32]) {
        if row.iter().all(|d| *d == 0.0) {
            return;
        }
        self.squares.iter_mut().zip(row.iter()).for_each(|(s, d)| *s = d * d);
        let square = |at: usize| (at * at) as f32;
        let mut last = 0;
        (self.foot[0], self.from[0], self.from[1]) = (0, f32::MIN, f32::MAX);
        for q in 1..row.len() {
            loop {
                let p = self.foot[last];
                let meet =
                    ((self.squares[q] + square(q)) - (self.squares[p] + square(p))) / (2 * (q - p)) as f32;
                if meet > self.from[last] || last == 0 {
                    let place = if meet > self.from[last] { last + 1 } else { 0 };
                    last = place;
                    self.foot[last] = q;
                    self.from[last] = if place == 0 { f32::MIN } else { meet };
                    self.from[last + 1] = f32::MAX;
                    break;
                }
                last -= 1;
            }
        }
        let mut current = 0;
        for (q, distance) in row.iter_mut().enumerate() {
            while self.from[current + 1] < q as f32 {
                current += 1;
            }
            let p = self.foot[current];
            *distance = (square(q.abs_diff(p)) + self.squares[p]).sqrt();
        }
    }
}
