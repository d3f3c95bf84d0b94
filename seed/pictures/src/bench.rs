//! One thing being drawn: its pieces, its chance, and the soil that clings to it before cleaning.
use super::table::{Piece, Pose, Spot, Surface, Table, ease};
use super::tone::Tone;
use super::{Cleaning, Light, Subject, View};
use crate::chance::Chance;

/// Soil on an uncleaned surface.
#[derive(Debug, Clone, Copy)]
pub struct Soil {
    /// share of the surface under lumps of it, 0..1
    pub share: f32,
    /// how strongly the rest is dusted with it, 0..1
    pub haze: f32,
    /// mm of the lumps' height
    pub thick: f32,
    /// mm across a patch of them
    pub wide: f32,
    pub colour: Tone,
}

/// A thing and what is known of its state.
pub struct Bench<'a> {
    table: &'a mut Table,
    pub pose: Pose,
    pub chance: Chance,
    pub view: View,
    cleaning: Cleaning,
    light: Light,
    pub soil: Soil,
}

impl<'a> Bench<'a> {
    pub fn new(table: &'a mut Table, pose: Pose, subject: &Subject, mut chance: Chance) -> Self {
        let colour = *chance.pick(&[0x4a3826, 0x3d3226, 0x54432f, 0x463a30]);
        let soil = Soil { share: 0.45, haze: 0.35, thick: 0.8, wide: 16.0, colour: Tone::hex(colour) };
        Self {
            table,
            pose,
            chance,
            view: subject.view,
            cleaning: subject.cleaning,
            light: subject.light,
            soil,
        }
    }

    pub fn cleaned(&self) -> bool {
        self.cleaning == Cleaning::After
    }

    pub fn is_turned_over(&self) -> bool {
        self.view == View::Back
    }

    /// Lays a piece in the middle.
    pub fn lay(&mut self, piece: Piece, surface: impl Fn(&Spot) -> Surface) {
        self.lay_at(piece, self.pose, surface);
    }

    /// Something within, which only the X-ray shows.
    pub fn within(&mut self, piece: Piece, absorb: impl Fn(&Spot) -> f32) {
        let offset = [self.chance.between(0.0, 60.0), self.chance.between(0.0, 60.0)];
        if self.light == Light::Xray {
            let surface = |spot: &Spot| Surface { height: 0.0, absorb: absorb(spot), ..Surface::default() };
            self.table.lay(&piece, self.pose, offset, surface);
        }
    }

    /// Lays a piece elsewhere; before cleaning, soil comes on top.
    pub fn lay_at(&mut self, piece: Piece, pose: Pose, surface: impl Fn(&Spot) -> Surface) {
        let offset = [self.chance.between(0.0, 60.0), self.chance.between(0.0, 60.0)];
        if self.cleaned() || self.soil.share <= 0.0 {
            self.table.lay(&piece, pose, offset, surface);
        } else {
            let soil = self.soil;
            self.table.lay(&piece, pose, offset, |spot| soil.upon(surface(spot), spot));
        }
    }
}

impl Soil {
    /// The surface with lumps of soil on it and dust between them.
    fn upon(&self, clean: Surface, spot: &Spot) -> Surface {
        let lumps = 0.62 * spot.cloud(self.wide) + 0.38 * spot.cloud(self.wide * 0.22);
        let edge = 0.5 + (0.5 - self.share) * 0.45;
        let cover = ease(edge - 0.06, edge + 0.09, lumps);
        let grit = spot.cloud(self.wide * 0.09);
        let dust = (self.haze * (0.35 + 0.9 * spot.cloud(self.wide * 0.5))).min(0.9);
        let over = (cover * 0.95).max(dust);
        let soil = self.colour.times(0.60 + 0.55 * grit + 0.35 * (lumps - edge));
        Surface {
            height: clean.height
                + self.thick
                    * (cover * (0.3 + 1.6 * (lumps - edge + 0.06).max(0.0) * 4.0)
                        + (0.2 + cover) * 0.5 * (grit - 0.5)),
            colour: clean.colour.towards(soil, over),
            gloss: clean.gloss * (1.0 - over),
            clear: clean.clear * (1.0 - over),
            glow: clean.glow.times(1.0 - over),
            absorb: clean.absorb + 0.05 * cover,
        }
    }
}
