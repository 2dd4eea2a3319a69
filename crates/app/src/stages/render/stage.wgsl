// Solids, flats, glass and balls of a stage. Colours come in as sRGB, are lit in linear light and
// leave encoded again, because the window shows the picture as it is.

struct Globals {
    clip_from_stage: mat4x4<f32>,
    eye: vec4<f32>,
    right: vec4<f32>,
    up: vec4<f32>,
    to_light: vec4<f32>,
    // x: size of a pixel at unit distance, y: least radius in pixels, z: 1 if dark
    misc: vec4<f32>,
};
@group(0) @binding(0) var<uniform> globals: Globals;

fn linear(c: vec3<f32>) -> vec3<f32> { return pow(c, vec3<f32>(2.2)); }
fn encoded(c: vec3<f32>) -> vec3<f32> { return pow(max(c, vec3<f32>(0.0)), vec3<f32>(1.0 / 2.2)); }

struct Corner {
    @location(0) position: vec3<f32>,
    @location(1) normal: vec3<f32>,
    @location(2) colour: vec4<f32>,
    @location(3) m0: vec4<f32>,
    @location(4) m1: vec4<f32>,
    @location(5) m2: vec4<f32>,
    @location(6) m3: vec4<f32>,
};
struct Seen {
    @builtin(position) clip: vec4<f32>,
    @location(0) position: vec3<f32>,
    @location(1) normal: vec3<f32>,
    @location(2) colour: vec4<f32>,
};

@vertex
fn corner(in: Corner) -> Seen {
    let stage_from_mesh = mat4x4<f32>(in.m0, in.m1, in.m2, in.m3);
    let at = stage_from_mesh * vec4<f32>(in.position, 1.0);
    var out: Seen;
    out.clip = globals.clip_from_stage * at;
    out.position = at.xyz;
    out.normal = (stage_from_mesh * vec4<f32>(in.normal, 0.0)).xyz;
    out.colour = in.colour;
    return out;
}

fn lit(base: vec3<f32>, n: vec3<f32>, v: vec3<f32>) -> vec3<f32> {
    let l = globals.to_light.xyz;
    let key = max(dot(n, l), 0.0);
    // Soft fill from above and a little from the viewer's side.
    let sky = 0.5 + 0.5 * n.z;
    let fill = max(dot(n, normalize(v + globals.right.xyz * -0.6)), 0.0);
    let h = normalize(l + v);
    let shine = pow(max(dot(n, h), 0.0), 36.0) * 0.10;
    let light = 0.16 + 0.26 * sky + 0.62 * key + 0.16 * fill;
    return base * light + vec3<f32>(shine);
}

@fragment
fn solid(in: Seen) -> @location(0) vec4<f32> {
    let v = normalize(globals.eye.xyz - in.position);
    var n = normalize(in.normal);
    if (dot(n, v) < 0.0) { n = -n; }
    return vec4<f32>(encoded(lit(linear(in.colour.rgb), n, v)), 1.0);
}

@fragment
fn flat_colour(in: Seen) -> @location(0) vec4<f32> {
    return in.colour;
}

@fragment
fn glass(in: Seen, @builtin(front_facing) front: bool) -> @location(0) vec4<f32> {
    let v = normalize(globals.eye.xyz - in.position);
    var n = normalize(in.normal);
    let facing = dot(n, v);
    if (facing < 0.0) { n = -n; }
    let edge = 1.0 - abs(facing);
    let rim = pow(edge, 2.2);
    let h = normalize(globals.to_light.xyz + v);
    var shine = 0.0;
    if (front) { shine = pow(max(dot(n, h), 0.0), 60.0); }
    let dark = globals.misc.z;
    let base = linear(in.colour.rgb);
    let body = mix(0.10, 0.09, dark);
    var alpha = body + mix(0.85, 0.72, dark) * rim;
    if (!front) { alpha = alpha * 0.55; }
    let bright = mix(base * (0.85 - 0.35 * rim), base * (0.8 + 0.9 * rim), dark);
    let colour = bright + vec3<f32>(shine * 0.55);
    alpha = clamp(alpha + shine * 0.35, 0.0, 1.0) * in.colour.a;
    return vec4<f32>(encoded(colour), alpha);
}

struct BallIn {
    @builtin(vertex_index) index: u32,
    @location(0) centre: vec3<f32>,
    @location(1) radius: f32,
    @location(2) colour: vec4<f32>,
};
struct BallSeen {
    @builtin(position) clip: vec4<f32>,
    @location(0) place: vec2<f32>,
    @location(1) colour: vec4<f32>,
    @location(2) centre: vec3<f32>,
    @location(3) radius: f32,
};

@vertex
fn ball_corner(in: BallIn) -> BallSeen {
    let to_eye = globals.eye.xyz - in.centre;
    let forward = cross(globals.right.xyz, globals.up.xyz);
    let distance = dot(to_eye, forward);
    let pixel = globals.misc.x * distance;
    let radius = max(in.radius, pixel * globals.misc.y);
    var corners = array<vec2<f32>, 6>(
        vec2<f32>(-1.0, -1.0), vec2<f32>(1.0, -1.0), vec2<f32>(1.0, 1.0),
        vec2<f32>(-1.0, -1.0), vec2<f32>(1.0, 1.0), vec2<f32>(-1.0, 1.0));
    let grow = 1.0 + pixel / radius;
    let place = corners[in.index] * grow;
    var out: BallSeen;
    let at = in.centre + (globals.right.xyz * place.x + globals.up.xyz * place.y) * radius;
    out.clip = globals.clip_from_stage * vec4<f32>(at, 1.0);
    out.place = place;
    out.colour = in.colour;
    out.centre = in.centre;
    out.radius = radius;
    return out;
}

struct BallOut {
    @location(0) colour: vec4<f32>,
    @builtin(frag_depth) depth: f32,
};

@fragment
fn ball(in: BallSeen) -> BallOut {
    let r2 = dot(in.place, in.place);
    let r = sqrt(r2);
    let soft = fwidth(r);
    let cover = 1.0 - smoothstep(1.0 - soft, 1.0 + soft * 0.5, r);
    if (cover <= 0.02) { discard; }
    let forward = cross(globals.right.xyz, globals.up.xyz);
    let z = sqrt(max(1.0 - r2, 0.0));
    let n = normalize(globals.right.xyz * in.place.x + globals.up.xyz * in.place.y + forward * z);
    let at = in.centre + n * in.radius;
    let clip = globals.clip_from_stage * vec4<f32>(at, 1.0);
    var out: BallOut;
    // A thin darker (or lighter) contour keeps touching balls apart.
    let contour = smoothstep(0.72, 1.0, r);
    let base = linear(in.colour.rgb);
    let colour = lit(base, n, forward) * mix(1.0, 0.35, contour * globals.misc.z);
    out.colour = vec4<f32>(encoded(colour), cover * in.colour.a);
    out.depth = clamp(clip.z / clip.w, 0.0, 1.0);
    return out;
}
