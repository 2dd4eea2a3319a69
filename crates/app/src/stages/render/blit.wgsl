// Copies a finished picture into the window; it is SCALE times as large, for smooth edges.
override SCALE: i32 = 1;
@group(0) @binding(0) var picture: texture_2d<f32>;

struct Seen {
    @builtin(position) clip: vec4<f32>,
    @location(0) uv: vec2<f32>,
};

@vertex
fn corner(@builtin(vertex_index) index: u32) -> Seen {
    let uv = vec2<f32>(f32((index << 1u) & 2u), f32(index & 2u));
    var out: Seen;
    out.clip = vec4<f32>(uv * vec2<f32>(2.0, -2.0) + vec2<f32>(-1.0, 1.0), 0.0, 1.0);
    out.uv = uv;
    return out;
}

@fragment
fn pixel(in: Seen) -> @location(0) vec4<f32> {
    let size = vec2<i32>(textureDimensions(picture));
    let first = vec2<i32>(in.uv * vec2<f32>(size / SCALE)) * SCALE;
    var sum = vec4<f32>(0.0);
    for (var y = 0; y < SCALE; y++) {
        for (var x = 0; x < SCALE; x++) {
            let at = clamp(first + vec2<i32>(x, y), vec2<i32>(0), size - 1);
            sum += textureLoad(picture, at, 0);
        }
    }
    return sum / f32(SCALE * SCALE);
}
