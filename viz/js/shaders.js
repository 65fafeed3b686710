/* Shaders of the shade on the ground, by name: vertex and fragment. Metres; `towards` is the way to
   the sun. Crowns come as sixteen numbers: foot, height | spread, base, kind, density | the places of
   denser neighbours in the table of all of them, -1 after the last. */

const CROWNS_A_ROW = 64; // of the table in which a crown's shade finds its neighbours

const KNOWN = `
uniform vec4 ground;   // west, south, width, depth
uniform vec2 levels;   // lowest and highest ground
uniform vec3 towards;
uniform vec2 size;     // spots across and up
vec4 placed(vec2 place) { return vec4(2.0 * (place - ground.xy) / ground.zw - 1.0, 0.0, 1.0); }`;

const HERE = `${KNOWN}
uniform sampler2D heights;
out vec4 left;
vec3 here() {
  return vec3(ground.xy + gl_FragCoord.xy / size * ground.zw, texelFetch(heights, ivec2(gl_FragCoord.xy), 0).r);
}`;

const EVERYWHERE = `void main() {
  vec2 corner = vec2(float(gl_VertexID & 1), float(gl_VertexID >> 1)) * 4.0 - 1.0;
  gl_Position = vec4(corner, 0.0, 1.0);
}`;

/* A place pushed along the sun's line onto the lowest level, 0 to 1 in the box; and its depth. */
const PUSHED = `
uniform vec2 shear;
uniform vec4 box;
uniform vec2 reach;
vec3 pushed(vec3 p) {
  vec2 flat_ = p.xy - shear * (p.z - levels.x);
  return vec3((flat_ - box.xy) / box.zw, 1.0 - (p.z - reach.x) / reach.y);
}`;

const CROWN = `
layout(location = 0) in vec4 foot;
layout(location = 1) in vec4 body;`;

const BESIDE = `vec2 beside = vec2(float(gl_VertexID & 1), float(gl_VertexID >> 1)) * 2.0 - 1.0;`;

const SHADE_SHADERS = {
  depth: [`${KNOWN}${PUSHED}
layout(location = 0) in vec3 corner;
void main() { gl_Position = vec4(2.0 * pushed(corner) - 1.0, 1.0); }`, `void main() {}`],

  standing: [EVERYWHERE, `${HERE}${PUSHED}
uniform sampler2DShadow other;
uniform float through;
const float CLEAR_M = 0.08;
void main() {
  float lit = texture(other, pushed(here() + vec3(0.0, 0.0, CLEAR_M)));
  left = vec4(mix(through, 1.0, lit), 1.0, 1.0, 1.0);
}`],

  copy: [EVERYWHERE, `${HERE}
uniform sampler2D other;
void main() { left = texelFetch(other, ivec2(gl_FragCoord.xy), 0); }`],

  /* Gloom round the foot of plants, which hide the sky. */
  pool: [`${KNOWN}${CROWN}
out vec2 away;
out float strength;
void main() {
  ${BESIDE}
  away = beside;
  strength = 0.55 * (1.0 - exp(-0.7 * body.w * body.x));
  gl_Position = placed(foot.xy + 0.62 * body.x * beside);
}`, `in vec2 away;
in float strength;
out vec4 left;
void main() { left = vec4(1.0, 1.0 - strength * clamp((1.0 - length(away)) / 0.85, 0.0, 1.0), 1.0, 1.0); }`],

  /* A strip along the sun's way, as long as the shadow may be on the lowest and highest ground. */
  crown: [`${KNOWN}${CROWN}
layout(location = 2) in vec4 denser;
layout(location = 3) in vec4 more;
flat out vec4 footV;
flat out vec4 bodyV;
flat out vec4 denserV;
flat out vec4 moreV;
void main() {
  ${BESIDE}
  vec2 way = towards.xy / max(length(towards.xy), 1e-4);
  float run = length(towards.xy) / towards.z;
  float nearest = max(0.0, foot.z + body.y - levels.y) * run;
  float farthest = max(0.0, foot.z + foot.w - levels.x) * run;
  float radius = 0.5 * body.x;
  float along = beside.x < 0.0 ? nearest - radius : farthest + radius;
  footV = foot;
  bodyV = body;
  denserV = denser;
  moreV = more;
  gl_Position = placed(foot.xy - way * along + vec2(-way.y, way.x) * radius * beside.y);
}`, `${HERE}
uniform sampler2D other;
uniform sampler2D table;
flat in vec4 footV;
flat in vec4 bodyV;
flat in vec4 denserV;
flat in vec4 moreV;

/* Way through a crown along the sun's line from p; span is where it begins and ends. */
float through(vec4 foot, vec4 body, vec3 p, out vec2 span) {
  float d2 = max(dot(towards.xy, towards.xy), 1e-6), dz = towards.z;
  vec2 off = foot.xy - p.xy;
  float axis = dot(off, towards.xy) / d2, aside = off.x * towards.y - off.y * towards.x;
  float away2 = aside * aside / d2;
  float square = 0.25 * body.x * body.x, tall = max(foot.w - body.y, 1e-3);
  float base = foot.z - p.z + body.y - axis * dz;
  float way = 0.0;
  span = vec2(1e9, -1e9);
  if (away2 >= square) return way;
  for (int n = 0; n < 3; n++) {
    vec4 piece = texelFetch(other, ivec2(2 * n, int(body.z)), 0);
    if (piece.y <= piece.x) break;
    float pc = texelFetch(other, ivec2(2 * n + 1, int(body.z)), 0).r;
    float low = max((base + piece.x * tall) / dz + axis, 0.0), high = (base + piece.y * tall) / dz + axis;
    float k = square / tall, c = pc * k / tall, b = piece.w * k;
    float a = piece.z * square - b * base + c * base * base;
    float turn = d2 - c * dz * dz, middle = (0.5 * b - c * base) * dz;
    float rest = middle * middle + turn * (a - away2), root = sqrt(max(rest, 0.0));
    float near = (middle - root) / turn + axis, far = (middle + root) / turn + axis;
    float after = max(near, low), before = min(far, high);
    if (turn <= 0.0) {
      bool first = before - low > high - after && rest > 0.0;
      float enter = first || rest <= 0.0 ? low : after;
      before = first ? before : high;
      after = enter;
    }
    if (before <= after) continue;
    way += before - after;
    span = vec2(min(span.x, after), max(span.y, before));
  }
  return way;
}

/* What is left of a span without those of denser neighbours: cut off at its ends, or out of it. */
float alone(vec2 span, vec3 p) {
  vec2 left_ = span;
  float out_ = 0.0;
  for (int n = 0; n < 8; n++) {
    int at = int(n < 4 ? denserV[n] : moreV[n - 4]);
    if (at < 0) break;
    ivec2 place = ivec2(4 * (at % ${CROWNS_A_ROW}), at / ${CROWNS_A_ROW});
    vec2 theirs;
    through(texelFetch(table, place, 0), texelFetch(table, place + ivec2(1, 0), 0), p, theirs);
    theirs = vec2(max(theirs.x, left_.x), min(theirs.y, left_.y));
    if (theirs.y <= theirs.x) continue;
    if (theirs.x <= left_.x) left_.x = theirs.y;
    else if (theirs.y >= left_.y) left_.y = theirs.x;
    else out_ += theirs.y - theirs.x;
  }
  return clamp((left_.y - left_.x - out_) / (span.y - span.x), 0.0, 1.0);
}

void main() {
  vec3 p = here();
  vec2 span;
  float way = through(footV, bodyV, p, span);
  if (way > 0.0) way *= alone(span, p);
  left = vec4(exp(-bodyV.w * way * length(towards)), 1.0, 1.0, 1.0);
}`],
};
