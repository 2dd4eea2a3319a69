// Copies a finished picture into the window.
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
    let size = vec2<f32>(textureDimensions(picture));
    let at = clamp(vec2<i32>(in.uv * size), vec2<i32>(0), vec2<i32>(size) - 1);
    return textureLoad(picture, at, 0);
}
