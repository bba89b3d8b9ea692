// The lamp's shaders (GLSL ES 3.00). Light is reckoned in linear amounts, the open face's being 1, and told to the
// screen as sRGB. What is drawn here in one pass is what `stopcut.light` works out exactly for pictures: the same lamp,
// sky, thrown light, tone and eased edges, with two short cuts that are said below (sky and thrown light).

const COMMON = `#version 300 es
precision highp float;
precision highp sampler2D;
`;

// A loop that runs once or not at all stands for a branch here: drivers without a graphics card step over a loop that
// does not run, but work out both sides of a branch.

// What both programs know of the board and the light.
const BOARD = `
uniform vec4 view;        // what the canvas shows: left, bottom, width, height [mm]
uniform vec2 board;       // [mm]
uniform float pixel;      // a canvas pixel's side [mm]
uniform vec3 lamp;        // towards the lamp: right, up, out
uniform float sky;        // the sky's part of the face's light
uniform bool byDepth;     // tones by depth instead of light
uniform vec3 paper;       // the face's own tone then, as the screen has it,
uniform float paperPart;  // and how far it hides the wood; 0 in light
`;

const LIGHT = `
const float SHOULDER = 0.66;          // light.colour.SHOULDER
vec3 onScreen(vec3 light) {
  vec3 eased = 1.0 - (1.0 - SHOULDER) * exp(-(light - SHOULDER) / (1.0 - SHOULDER));
  light = mix(light, eased, vec3(greaterThan(light, vec3(SHOULDER))));
  return mix(12.92 * light, 1.055 * pow(max(light, 1e-6), vec3(1.0 / 2.4)) - 0.055,
             vec3(greaterThan(light, vec3(0.0031308))));
}
`;

const FACE = `
uniform sampler2D wood;               // what the wood sends back
uniform sampler2D face;               // how the open face looks on the screen

const float ARRIS_MM = 2.0;           // sheets.carved.ARRIS_MM
const float ARRIS = radians(65.0);    // sheets.carved.ARRIS_DEG

vec2 onWood(vec2 p) { return vec2(p.x / board.x, 1.0 - p.y / board.y); }

float toEdge(vec2 p) { vec2 to = min(p, board - p); return min(to.x, to.y); }

float arrisWide() { return max(ARRIS_MM, 2.0 * pixel); }

// Light on the face's eased edges, 1 elsewhere.
float arris(vec2 p) {
  float d = clamp(toEdge(p), 0.0, arrisWide());
  vec2 rest = board - p;
  float leaning = rest.y <= d ? lamp.y : p.y <= d ? -lamp.y : p.x <= d ? -lamp.x : lamp.x;
  float tilt = ARRIS * (1.0 - d / arrisWide());
  return (1.0 - sky) / lamp.z * max(0.0, sin(tilt) * leaning + cos(tilt) * lamp.z) + sky * (1.0 + cos(tilt)) / 2.0;
}

// The open face as the screen shows it.
vec3 faceAt(vec2 p) {
  vec3 shown = texture(face, onWood(p)).rgb;
  for (int once = toEdge(p) < arrisWide() ? 0 : 1; once < 1; once++) {
    shown = onScreen(texture(wood, onWood(clamp(p, vec2(0.0), board))).rgb * arris(p));
  }
  return mix(shown, paper, paperPart);
}

// How much of the pixel is board, for a smooth edge.
float onBoard(vec2 p) { return clamp(toEdge(p) / pixel + 0.5, 0.0, 1.0); }
`;

// The open face once for all: wood in, as the screen shows it out.
export const OPEN_VERTEX = `${COMMON}
in vec2 corner;
out vec2 at;
void main() {
  at = corner;
  gl_Position = vec4(corner * 2.0 - 1.0, 0.0, 1.0);
}`;

export const OPEN_FRAGMENT = `${COMMON}${LIGHT}
uniform sampler2D wood;
in vec2 at;
out vec4 colour;
void main() { colour = vec4(onScreen(texture(wood, at).rgb), 1.0); }`;

export const FACE_VERTEX = `${COMMON}${BOARD}
in vec2 corner;           // 0 or 1 each
out vec2 place;           // [mm]
void main() {
  place = mix(vec2(-pixel), board + pixel, corner);
  gl_Position = vec4((place - view.xy) / view.zw * 2.0 - 1.0, 0.0, 1.0);
}`;

export const FACE_FRAGMENT = `${COMMON}${BOARD}${LIGHT}${FACE}
in vec2 place;
out vec4 colour;
void main() {
  float part = onBoard(place);
  if (part <= 0.0) discard;
  colour = vec4(faceAt(place), 1.0) * part;
}`;

export const LETTER_VERTEX = `${COMMON}${BOARD}
uniform mat2 turn;        // a step in tile pixels to one on the board [mm]
uniform vec2 shift;       // the tile's upper left corner on the board [mm]
uniform float across;     // tile pixels a canvas pixel
in vec2 corner;
in vec4 run;              // left, top, right, bottom in tile pixels
out vec2 place;
out vec2 spot;            // in tile pixels
void main() {
  float half_ = 0.5 * across + 0.5;   // a canvas pixel's middle may lie so far from a wall that it touches
  spot = mix(run.xy - half_, run.zw + half_, corner);
  place = turn * spot + shift;
  gl_Position = vec4((place - view.xy) / view.zw * 2.0 - 1.0, 0.0, 1.0);
}`;

export const LETTER_FRAGMENT = `${COMMON}${BOARD}${LIGHT}${FACE}
uniform sampler2D tile;   // distance [tile pixels], the wall's level direction (2), opening; read pixel by pixel
uniform sampler2D reach;  // the distance alone, smooth; below 0 outside, down to -FAR
uniform mat2 back;        // a step on the board [mm] to one in tile pixels
uniform float wall;       // its angle [radians]
uniform float slope;      // tan(wall)
uniform float rise;       // cos(wall)
uniform vec2 way;         // the level unit step towards the lamp, in the tile
uniform float climb;      // the lamp's height over that
uniform float bottom;     // the flat bottom's depth [tile pixels], huge if there is none
uniform float size;       // a tile pixel's side [mm]
uniform float across;     // tile pixels a canvas pixel
uniform int finer;        // samples along a pixel's side
uniform float band;       // a depth tone's thickness [mm]
uniform vec3 tones[10];   // from shallow to deep, as the screen has them
uniform int toneCount;
in vec2 place;
in vec2 spot;
out vec4 colour;

const float ALIKE = 0.978;            // cos 12°: walls that face apart by less are one (light.sampled.ALIKE)
const float SHADOW_POWER = 1.3;       // light.carved.SHADOW_POWER
const float AGAIN = 1.3;              // light thrown twice is strong at the lip and weak at the root: the wall's mean times
                                      // this less the share of the way down. Our choice, to be nearest to light.carved.
const float FAR = 7.0;                // tile.js: FAR less a pixel
const int MOST_STEPS = 64;
const float LEAST_STEP = 0.6;         // [tile pixels]
const float LEAST_PART = 0.35;        // the same of a canvas pixel, where those are larger
const float CLEAR = 0.02;             // how much higher than the ray a wall must be to stop it [tile pixels of distance];
const float ROOT_CLEAR = 0.3;         // and within the first ROOT_RUN of its way, as between pixels the reach is too
const float ROOT_RUN = 2.0;           // shallow by so much along a root

// The surface at a place: distance, level direction, opening; distance below 0 outside. Between the centres of four
// pixels, walls that look alike are joined; walls that meet at a hollow or an arris are told apart by which of their
// planes lies higher (of the roof's two planes the lower one counts at a hollow, the higher one at an arris).
vec4 surface(vec2 t) {
  vec2 low = floor(t - 0.5);
  vec2 part = t - 0.5 - low;
  vec2 near = floor(part + 0.5);
  vec4 sum = vec4(0.0);
  float weights = 0.0;
  float height = 0.0;
  vec2 faces = vec2(0.0), stands = vec2(0.0);
  for (int k = 0; k < 4; k++) {
    vec2 side = abs(near - vec2(k & 1, k >> 1));
    vec2 centre = low + side + 0.5;
    vec4 one = texelFetch(tile, ivec2(centre), 0);
    if (one.y == 0.0 && one.z == 0.0) continue;
    vec2 near1 = 1.0 - abs(side - part);
    float weight = near1.x * near1.y + 1e-4;
    one.x += dot(one.yz, t - centre);
    if (weights > 0.0 && dot(one.yz, faces) < ALIKE) {
      bool hollow = dot(one.yz - faces, centre - stands) < 0.0;
      if (hollow ? one.x >= height : one.x <= height) continue;
      weights = 0.0;
      sum = vec4(0.0);
    }
    if (weights == 0.0) { height = one.x; faces = one.yz; stands = centre; }
    sum += one * weight;
    weights += weight;
  }
  if (weights == 0.0) return vec4(-1.0, 0.0, 0.0, 0.0);
  sum /= weights;
  sum.yz = normalize(sum.yz);
  return sum;
}

// Whether the lamp is seen from a depth at a place. way is the unit step towards it and climb its height over that, in
// tile pixels. The surface falls by at most slope a step, so each step may be as long as what is clear allows.
bool seesLamp(vec2 t, float depth, vec2 way, float climb) {
  float least = max(LEAST_STEP, LEAST_PART * across);
  float run = least;
  vec2 extent = vec2(textureSize(tile, 0));
  for (int k = 0; k < MOST_STEPS; k++) {
    float ray = depth - run * climb;
    if (ray <= 0.0) return true;
    float there = min(max(texture(reach, (t + way * run) / extent).x, 0.0) * slope, bottom);
    float clear = there - ray;
    if (clear < -(run < ROOT_RUN ? ROOT_CLEAR : CLEAR) * slope) return false;
    run += max(clear / (slope - climb), least);
  }
  return true;
}

void main() {
  // Sums over the samples that lie in the groove. strip is the light that the wall across throws from where the lamp
  // lights it, mine and other the means of the lamp's light on this wall and that.
  float inside = 0.0, direct = 0.0, share = 0.0, strip = 0.0, leans = 0.0, downs = 0.0, depths = 0.0;
  // Where there is no wall near, nothing is asked.
  float nearest = texelFetch(reach, ivec2(clamp(spot, vec2(0.0), vec2(textureSize(reach, 0) - 1))), 0).x;
  float near = 0.75 * across + 1.2;   // from here on no part of the canvas pixel can be in the groove
  int samples = nearest > -near || near > FAR ? finer * finer : 0;
  for (int k = 0; k < samples; k++) {
    vec2 off = (vec2(k % finer, k / finer) + 0.5) / float(finer) - 0.5;
    vec2 t = spot + back * (off * pixel);
    vec4 found = surface(t);
    if (found.x < 0.0) continue;
    inside += 1.0;
    float depth = min(found.x * slope, bottom);
    depths += depth;
    if (byDepth) continue;
    bool level = found.x * slope >= bottom;
    vec3 normal = level ? vec3(0.0, 0.0, 1.0) : vec3(found.yz * slope, 1.0) * rise;
    float cosine = dot(normal, vec3(way * lamp.z / climb, lamp.z));
    if (cosine > 0.0 && (climb >= slope || seesLamp(t, depth, way, climb))) direct += cosine;
    if (level) {
      // A long trench's bottom: a wall on either side.
      float near = depth / found.x, far = near * found.w;
      float open = (inversesqrt(1.0 + near * near) + inversesqrt(1.0 + far * far)) / 2.0;
      share += open;
      strip += (1.0 - open) * rise;
      continue;
    }
    // A long V (tiles.py: opening): what is seen above an elevation is (1 + cos(elevation + wall)) / 2.
    float open = (1.0 + cos(atan(found.w * slope) + wall)) / 2.0;
    share += open;
    // All light through the opening falls on the walls: the wall across has 1 - lean of it, this one 1 + lean. Where it
    // is more than both can share, the wall across has all, in a strip along its lip.
    float lean = slope * dot(found.yz, way) / climb;
    float lit = min(1.0, 2.0 / max(1.0 - lean, 1e-3));
    float down = min(2.0 * found.w / (1.0 + found.w), 1.0);
    float under = atan((down - lit) * slope, max(2.0 - lit - down, 1e-4));
    strip += max(0.0, 1.0 - lean) * rise * max(0.0, (1.0 + cos(max(under, -wall) + wall)) / 2.0 - open);
    leans += clamp(lean, -1.0, 1.0);
    downs += down;
  }
  for (int once = 0; once < (inside > 0.0 ? 1 : 0); once++) {
    float cover = inside / float(finer * finer);
    vec3 seen;
    if (byDepth) {
      seen = tones[min(int(depths / inside * size / band), toneCount - 1)];
      seen = mix(faceAt(place), seen, cover);
    } else {
      vec3 reflects = texture(wood, onWood(place)).rgb;
      float lean = leans / inside;
      share /= inside;
      float lampPart = 1.0 - sky;
      float together = 1.0 - rise;    // of what one wall sends out, so much falls on the wall across, on the mean
      float mine = rise * (lampPart * (1.0 + lean) + sky), other = rise * (lampPart * (1.0 - lean) + sky);
      vec3 thrown = reflects * (lampPart * strip / inside + (1.0 - share) * (sky * rise
        + reflects * together * (mine * (AGAIN - downs / inside) + reflects * together * other)));
      vec3 falls = lampPart / lamp.z * direct / inside + sky * share + thrown;
      falls = mix(pow(falls, vec3(SHADOW_POWER)), falls, vec3(greaterThan(falls, vec3(1.0))));
      seen = onScreen(reflects * mix(vec3(1.0), falls, cover) * arris(place));
    }
    colour = vec4(seen, 1.0) * onBoard(place);
  }
  if (inside == 0.0) discard;
}`;
