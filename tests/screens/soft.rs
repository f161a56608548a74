//! Draws what a test shows into a picture: a small rasteriser on the processor, the same on every machine.
//! What is drawn, and what is looked for in it, is the tests' business.
use egui::{
    self, TextureId,
    epaint::{ImageData, Primitive},
};
use egui_kittest::TestRenderer;
use std::collections::HashMap;

#[derive(Default)]
pub struct Soft {
    tex: HashMap<TextureId, ([usize; 2], Vec<[f32; 4]>)>,
}

impl TestRenderer for Soft {
    fn handle_delta(&mut self, delta: &mut egui::TexturesDelta) {
        for (id, d) in delta
            .set
            .drain()
            .flat_map(|(id, v)| v.into_iter().map(move |d| (id, d)))
        {
            let ImageData::Color(img) = &d.image;
            let px: Vec<[f32; 4]> = img
                .pixels
                .iter()
                .map(|c| c.to_array().map(|v| v as f32))
                .collect();
            match d.pos {
                None => {
                    self.tex.insert(id, (img.size, px));
                }
                Some([x0, y0]) => {
                    let (size, dst) = self.tex.get_mut(&id).expect("texture");
                    for y in 0..img.size[1] {
                        for x in 0..img.size[0] {
                            dst[(y0 + y) * size[0] + x0 + x] = px[y * img.size[0] + x];
                        }
                    }
                }
            }
        }
        for id in delta.free.drain() {
            self.tex.remove(&id);
        }
        delta.clear();
    }
    fn render(
        &mut self,
        ctx: &egui::Context,
        out: &egui::FullOutput,
    ) -> Result<image::RgbaImage, String> {
        let ppp = out.pixels_per_point;
        let size = ctx.content_rect().size() * ppp;
        let (w, h) = (size.x.round() as usize, size.y.round() as usize);
        let mut buf = vec![[0.0f32; 4]; w * h];
        for p in ctx.tessellate(out.shapes.clone(), ppp) {
            let Primitive::Mesh(m) = p.primitive else {
                continue;
            };
            let Some((ts, tex)) = self.tex.get(&m.texture_id) else {
                continue;
            };
            let clip = [
                (p.clip_rect.min.x * ppp).round().max(0.0),
                (p.clip_rect.min.y * ppp).round().max(0.0),
                (p.clip_rect.max.x * ppp).round().min(w as f32),
                (p.clip_rect.max.y * ppp).round().min(h as f32),
            ];
            for t in m.indices.chunks_exact(3) {
                let v = [
                    &m.vertices[t[0] as usize],
                    &m.vertices[t[1] as usize],
                    &m.vertices[t[2] as usize],
                ];
                let q = v.map(|v| [v.pos.x * ppp, v.pos.y * ppp]);
                let area = (q[1][0] - q[0][0]) * (q[2][1] - q[0][1])
                    - (q[2][0] - q[0][0]) * (q[1][1] - q[0][1]);
                if area == 0.0 {
                    continue;
                }
                let lo = |i: usize| q[0][i].min(q[1][i]).min(q[2][i]).floor().max(clip[i]) as usize;
                let hi = |i: usize| {
                    q[0][i]
                        .max(q[1][i])
                        .max(q[2][i])
                        .ceil()
                        .min(clip[i + 2])
                        .max(0.0) as usize
                };
                let col = v.map(|v| v.color.to_array().map(|c| c as f32));
                for y in lo(1)..hi(1) {
                    for x in lo(0)..hi(0) {
                        let (px, py) = (x as f32 + 0.5, y as f32 + 0.5);
                        let e = |a: usize, b: usize| {
                            ((q[b][0] - q[a][0]) * (py - q[a][1])
                                - (q[b][1] - q[a][1]) * (px - q[a][0]))
                                / area
                        };
                        let b = [e(1, 2), e(2, 0), e(0, 1)];
                        // top-left rule, so shared edges are drawn once
                        let ok = (0..3).all(|i| {
                            let (a, c) = ((i + 1) % 3, (i + 2) % 3);
                            let (dx, dy) = if area > 0.0 {
                                (q[c][0] - q[a][0], q[c][1] - q[a][1])
                            } else {
                                (q[a][0] - q[c][0], q[a][1] - q[c][1])
                            };
                            b[i] > 0.0 || b[i] == 0.0 && (dy < 0.0 || dy == 0.0 && dx > 0.0)
                        });
                        if !ok {
                            continue;
                        }
                        let mix =
                            |f: &dyn Fn(usize) -> f32| b[0] * f(0) + b[1] * f(1) + b[2] * f(2);
                        let (u, vv) = (
                            mix(&|i| v[i].uv.x) * ts[0] as f32 - 0.5,
                            mix(&|i| v[i].uv.y) * ts[1] as f32 - 0.5,
                        );
                        let (x0, y0) = (u.floor(), vv.floor());
                        let at = |dx: f32, dy: f32| {
                            tex[((y0 + dy).clamp(0.0, ts[1] as f32 - 1.0)) as usize * ts[0]
                                + ((x0 + dx).clamp(0.0, ts[0] as f32 - 1.0)) as usize]
                        };
                        let (fx, fy) = (u - x0, vv - y0);
                        let (a, b2, c, d) =
                            (at(0.0, 0.0), at(1.0, 0.0), at(0.0, 1.0), at(1.0, 1.0));
                        let dst = &mut buf[y * w + x];
                        let mut s = [0.0; 4];
                        for k in 0..4 {
                            let tx = (a[k] * (1.0 - fx) + b2[k] * fx) * (1.0 - fy)
                                + (c[k] * (1.0 - fx) + d[k] * fx) * fy;
                            s[k] = tx * mix(&|i| col[i][k]) / 255.0;
                        }
                        for k in 0..4 {
                            dst[k] = s[k] + dst[k] * (1.0 - s[3] / 255.0);
                        }
                    }
                }
            }
        }
        let raw = buf
            .iter()
            .flat_map(|p| p.map(|v| v.round().clamp(0.0, 255.0) as u8))
            .collect();
        image::RgbaImage::from_raw(w as u32, h as u32, raw).ok_or_else(|| "size".into())
    }
}
