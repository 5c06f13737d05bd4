// A matte face in the yard's daylight: one sun, the sky's even light, haze. A processor
// works out both sides of every branch, so nothing here asks what a material may have.
#import bevy_pbr::forward_io::VertexOutput
#import bevy_pbr::mesh_view_bindings::view

struct Matte {
    color: vec4<f32>,
    // How much it takes of the yard's light, and of the haze; the rest is as painted.
    lit: f32,
    hazed: f32,
    haze_from_m: f32,
    haze_to_m: f32,
    haze: vec4<f32>,
    to_sun: vec4<f32>,
    sun: vec4<f32>,
    sky: vec4<f32>,
}

@group(#{MATERIAL_BIND_GROUP}) @binding(0) var<uniform> matte: Matte;
#ifdef PICTURE
@group(#{MATERIAL_BIND_GROUP}) @binding(1) var picture: texture_2d<f32>;
@group(#{MATERIAL_BIND_GROUP}) @binding(2) var picture_sampler: sampler;
#endif

@fragment
fn fragment(in: VertexOutput, @builtin(front_facing) front: bool) -> @location(0) vec4<f32> {
    var color = matte.color;
#ifdef VERTEX_COLORS
    color *= in.color;
#endif
#ifdef PICTURE
    color *= textureSample(picture, picture_sampler, in.uv);
#endif
    let facing = select(-1.0, 1.0, front) * dot(normalize(in.world_normal), matte.to_sun.xyz);
    let light = matte.sky.rgb + matte.sun.rgb * max(facing, 0.0);
    let far = distance(in.world_position.xyz, view.world_position);
    let haze = clamp((far - matte.haze_from_m) / (matte.haze_to_m - matte.haze_from_m), 0.0, 1.0);
    let seen = color.rgb * mix(vec3(1.0), light, matte.lit);
    return vec4(mix(seen, matte.haze.rgb, matte.hazed * haze), color.a);
}
