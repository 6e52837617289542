// @ts-check
// The engraver's shaders: lines that lie on the skin at rest and ride with it, thicker where the light does not reach, an
// outline of even width, and a dashed one for the current placement. They know nothing of the library that runs them.

/** What all stages share: both surfaces, and how far they are apart at a point, in px. */
const given = `
precision highp float;
in vec3 currentAt; in vec3 currentNormal; in vec3 candidateAt; in vec3 candidateNormal; in vec3 restAt;
uniform mat3 basis; uniform vec3 target; uniform vec2 sheet; uniform float scale; uniform float depth; uniform float grow; uniform float side;
out vec3 normal; out vec3 rest; out float apart;
void main() {
  vec3 at = mix(currentAt, candidateAt, side);
  vec3 seen = basis * (at - target);
  normal = basis * mix(currentNormal, candidateNormal, side);
  rest = restAt;
  apart = distance(currentAt, candidateAt) * scale;
  vec2 out2 = normal.xy / max(length(normal.xy), 1e-6) * grow;
  gl_Position = vec4((seen.xy * scale + out2) * 2.0 / sheet, -seen.z / depth, 1.0);
}`;

/** The body: the tone is the thickness of the lines. */
const body = `
precision highp float;
in vec3 normal; in vec3 rest; in float apart;
uniform vec3 ink; uniform vec3 paper; uniform vec3 along; uniform float step1;
out vec4 colour;
float lines(float s, float wide, float thick) {
  float off = abs(fract(s - 0.5) - 0.5) / wide;
  return clamp(thick * 0.5 + 0.5 - off, 0.0, 1.0) * min(1.0, thick * 1.5);
}
void main() {
  vec3 n = normalize(gl_FrontFacing ? normal : -normal);
  float light = dot(n, normalize(vec3(-0.45, 0.65, 0.6)));
  float dark = smoothstep(0.75, -0.45, light);
  float s = dot(rest, along) / step1;
  float wide = max(fwidth(s), 1e-5);
  float level = max(log2(wide * 5.0), -1.0);
  float coarse = exp2(floor(level) + 1.0);
  float fade = 1.0 - fract(level);
  float thick = mix(0.15, 2.6, dark);
  float tone = lines(s / coarse, wide / coarse, thick);
  tone = max(tone, fade * lines(s / coarse + 0.5, wide / coarse, thick));
  float cross = lines((gl_FragCoord.x + gl_FragCoord.y) / 6.5, 1.4142 / 6.5, mix(-0.6, 1.7, smoothstep(0.6, 1.0, dark)));
  float rim = smoothstep(0.30, 0.12, n.z) * 0.8;
  float mark = max(max(tone * 0.85, cross * 0.7), rim);
  colour = vec4(mix(mix(paper, ink, 0.05 * dark), ink, mark), 1.0);
}`;

/** The outline: ink, and in the candidate's colour where the two placements differ. */
const outline = `
precision highp float;
in vec3 normal; in vec3 rest; in float apart;
uniform vec3 ink; uniform vec3 tint;
out vec4 colour;
void main() { colour = vec4(mix(ink, tint, step(0.7, apart)), 1.0); }`;

/** The current placement, dashed, where it is another than the candidate. */
const ghost = `
precision highp float;
in vec3 normal; in vec3 rest; in float apart;
uniform vec3 tint; uniform float dash;
out vec4 colour;
void main() {
  vec2 cell = floor(mat2(0.94, 0.34, -0.34, 0.94) * gl_FragCoord.xy / dash);
  if (apart < 0.7 || mod(cell.x + cell.y, 2.0) > 0.5) discard;
  colour = vec4(tint, 1.0);
}`;

export const shaders = { given, body, outline, ghost };
