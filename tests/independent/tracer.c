/* A second program for the same model, so that anybody can hold the solver against something else.
 *
 * It shares no line with the solver: another language, and its author had the model's text in front
 * of him and not the solver's source. Where the solver has closed forms and root finders of a library, this one
 * knows one trick: a ball's way between two events is a parabola, so its distance from a line or a
 * circle is a polynomial of time, and a polynomial whose Bernstein coefficients are all positive on
 * a stretch of time has no root there; otherwise the stretch is cut in two. Edges of what drops are
 * found by sampling every half a millimetre at the mouth and halving.
 *
 *   cc -O2 -o tracer tests/independent/tracer.c -lm
 *
 * It reads lines from standard input and answers each on standard output:
 *
 *   set NAME VALUE                          equipment in SI units and degrees (names: `known` below)
 *   accept KIND APPROACH PACE DISTANCE      corner or side, deg, m/s, m: one pocket with endless rails
 *   bed POCKET X Y PACE                     head-left ... foot-right, m, m, m/s: the whole bed
 *   stick V0 ACROSS HEIGHT ELEVATION PIVOT X Y
 *                                           m/s, in radii right and up, deg, m; object ball at X, Y (m),
 *                                           the cue ball at 0, 0 and the stick along +x
 *
 * `accept` and `bed` answer `pieces N`, then N times `FROM TO HOW` in degrees from the centre-pocket
 * line, counter-clockwise positive. `bed` lists directions within atan(0.52 m / distance) of that line.
 * `stick` answers `met ARRIVES X Y SPEED ROLL SIDE CUT OBJECT OBJECT_SPEED` or `passes`.
 *
 * Lengths in metres, angles in radians, spin right-handed about the vertical.
 */
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PI 3.14159265358979323846
#define DEG (PI / 180.0)

/* ---- equipment: everything is set from outside, so that no number has two homes ---- */

static double bed_length, bed_width, object_radius, cue_radius, object_mass, cue_mass, nose_height;
static double sliding, rolling_friction, spin_decay, gravity;
static double ball_e, ball_mu_a, ball_mu_b, ball_mu_c, ball_mu_scale;
static double rail_e, rail_mu, facing_e, facing_mu;
static double mouth[2], facing_deg[2], shelf[2], cut_radius[2], jaw_radius[2]; /* 0 corner, 1 side */

static struct {
  const char *name;
  double *value;
} known[] = {
    {"bed.length", &bed_length},
    {"bed.width", &bed_width},
    {"object.radius", &object_radius},
    {"cue.radius", &cue_radius},
    {"object.mass", &object_mass},
    {"cue.mass", &cue_mass},
    {"nose.height", &nose_height},
    {"cloth.sliding", &sliding},
    {"cloth.rolling", &rolling_friction},
    {"cloth.spin_decay", &spin_decay},
    {"gravity", &gravity},
    {"balls.restitution", &ball_e},
    {"balls.mu_a", &ball_mu_a},
    {"balls.mu_b", &ball_mu_b},
    {"balls.mu_c", &ball_mu_c},
    {"balls.scale", &ball_mu_scale},
    {"cushion.restitution", &rail_e},
    {"cushion.friction", &rail_mu},
    {"facing.restitution", &facing_e},
    {"facing.friction", &facing_mu},
    {"corner.mouth", &mouth[0]},
    {"corner.facing_angle", &facing_deg[0]},
    {"corner.shelf", &shelf[0]},
    {"corner.cutout_radius", &cut_radius[0]},
    {"corner.jaw_radius", &jaw_radius[0]},
    {"side.mouth", &mouth[1]},
    {"side.facing_angle", &facing_deg[1]},
    {"side.shelf", &shelf[1]},
    {"side.cutout_radius", &cut_radius[1]},
    {"side.jaw_radius", &jaw_radius[1]},
};

/* ---- what a ball can meet ---- */

typedef struct {
  double x, y;
} Vec;

static Vec vec(double x, double y) { return (Vec){x, y}; }
static Vec add(Vec a, Vec b) { return vec(a.x + b.x, a.y + b.y); }
static Vec sub(Vec a, Vec b) { return vec(a.x - b.x, a.y - b.y); }
static Vec mul(double k, Vec a) { return vec(k * a.x, k * a.y); }
static double dot(Vec a, Vec b) { return a.x * b.x + a.y * b.y; }
static double cross(Vec a, Vec b) { return a.x * b.y - a.y * b.x; }
static double len(Vec a) { return hypot(a.x, a.y); }
static Vec left(Vec a) { return vec(-a.y, a.x); }
static Vec towards(double angle) { return vec(cos(angle), sin(angle)); }

typedef enum { RAIL, FACING, JAW, HOLE, BALL } Kind;

typedef struct {
  Kind kind;
  Vec at;        /* a line's first end, a circle's middle */
  Vec along;     /* a line's direction; a jaw's rail */
  Vec facing;    /* a jaw's facing */
  Vec normal;    /* a line's normal, towards the balls */
  double from, to; /* where a line begins and ends */
  double radius; /* of a circle, as the ball's middle meets it */
  int pocket;    /* whose jaw, facing or hole */
  bool allowed;  /* a rail that may be touched */
} Feature;

typedef struct {
  Feature f[64];
  int count;
} Scene;

static void put(Scene *s, Feature f) { s->f[s->count++] = f; }

/* Plan radius at which a ball of this radius touches the nose: sqrt(R^2 - (h - R)^2). */
static double nose_radius(double r) { return sqrt(r * r - (nose_height - r) * (nose_height - r)); }

/* How far before its point a jaw's arc begins, on the rail and on the facing. */
static double arc_from(int kind) { return jaw_radius[kind] / tan(facing_deg[kind] * DEG / 2); }

/* The rail on one side (+1 left, -1 right) of a pocket's axis: where it leads, and its normal. */
static Vec rail_along(int kind, Vec axis, int k) {
  Vec side = left(axis);
  return kind == 1 ? mul(k, side) : mul(sqrt(0.5), sub(mul(k, side), axis));
}
static Vec rail_normal(int kind, Vec axis, int k) {
  Vec side = left(axis);
  return kind == 1 ? mul(-1, axis) : mul(-sqrt(0.5), add(axis, mul(k, side)));
}

/* One pocket: two jaws, two facings closing in on the axis, the hole behind. */
static void put_pocket(Scene *s, int kind, Vec middle, Vec axis, int pocket, double rho) {
  double beta = (facing_deg[kind] - (kind == 0 ? 135.0 : 90.0)) * DEG;
  Vec side = left(axis);
  for (int k = -1; k <= 1; k += 2) {
    Vec point = add(middle, mul(k * mouth[kind] / 2, side));
    Vec along = add(mul(cos(beta), axis), mul(-k * sin(beta), side));
    Vec normal = add(mul(-sin(beta), axis), mul(-k * cos(beta), side));
    /* A sharp jaw is an arc of no radius. */
    Vec arc = add(point, sub(mul(arc_from(kind), rail_along(kind, axis, k)), mul(jaw_radius[kind], rail_normal(kind, axis, k))));
    put(s, (Feature){.kind = JAW, .at = arc, .along = rail_along(kind, axis, k), .facing = along, .radius = jaw_radius[kind] + rho, .pocket = pocket});
    /* The centre is over the hole long before its contact could pass the facing's end. */
    put(s, (Feature){.kind = FACING, .at = point, .along = along, .normal = normal, .from = arc_from(kind), .to = shelf[kind] + 2 * cut_radius[kind], .pocket = pocket});
  }
  put(s, (Feature){.kind = HOLE, .at = add(middle, mul(shelf[kind] + cut_radius[kind], axis)), .radius = cut_radius[kind], .pocket = pocket});
}

/* One pocket alone: origin at the mouth's middle, axis along +x, its two rails without an end. */
static void lone_pocket(Scene *s, int kind, double rho) {
  Vec axis = vec(1, 0);
  s->count = 0;
  put_pocket(s, kind, vec(0, 0), axis, 0, rho);
  for (int k = -1; k <= 1; k += 2) {
    put(s, (Feature){.kind = RAIL, .at = vec(0, k * mouth[kind] / 2), .along = rail_along(kind, axis, k), .normal = rail_normal(kind, axis, k), .from = arc_from(kind), .to = 1e3, .allowed = true});
  }
}

static const char *pocket_name[6] = {"head-left", "head-right", "side-left", "side-right", "foot-left", "foot-right"};

static int pocket_kind(int p) { return p == 2 || p == 3; }

static Vec mouth_middle(int p) {
  double x = p < 2 ? 0 : p < 4 ? bed_length / 2 : bed_length, y = p % 2 == 0 ? bed_width : 0;
  if (pocket_kind(p)) return vec(x, y);
  double in = mouth[0] / (2 * sqrt(2));
  return vec(x == 0 ? in : x - in, y == 0 ? in : y - in);
}

static Vec pocket_axis(int p) {
  double y = p % 2 == 0 ? 1 : -1;
  if (pocket_kind(p)) return vec(0, y);
  return mul(sqrt(0.5), vec(p < 2 ? -1 : 1, y));
}

/* The whole bed as seen by a ball bound for pocket `target`: six rails from jaw to jaw, six pockets. */
static void whole_bed(Scene *s, int target, double rho) {
  s->count = 0;
  double c = mouth[0] / sqrt(2), h = mouth[1] / 2, l = bed_length, w = bed_width;
  struct {
    Vec from, to;
    const char *meets; /* the pockets that this side of the table meets: both halves of a long rail are one rail */
  } rail[6] = {
      {vec(0, c), vec(0, w - c), "01"},      {vec(l, c), vec(l, w - c), "45"},
      {vec(c, 0), vec(l / 2 - h, 0), "135"}, {vec(l / 2 + h, 0), vec(l - c, 0), "135"},
      {vec(c, w), vec(l / 2 - h, w), "024"}, {vec(l / 2 + h, w), vec(l - c, w), "024"},
  };
  for (int i = 0; i < 6; i++) {
    Vec d = sub(rail[i].to, rail[i].from);
    double n = len(d);
    d = mul(1 / n, d);
    Vec normal = left(d), in = sub(vec(l / 2, w / 2), rail[i].from);
    if (dot(normal, in) < 0) normal = mul(-1, normal);
    bool own = strchr(rail[i].meets, '0' + target) != NULL;
    /* Long rails end at a side pocket: the first at its far end, the second at its near one. */
    double near = arc_from(i == 3 || i == 5), far = arc_from(i == 2 || i == 4);
    put(s, (Feature){.kind = RAIL, .at = rail[i].from, .along = d, .normal = normal, .from = near, .to = n - far, .allowed = own});
  }
  for (int p = 0; p < 6; p++) put_pocket(s, pocket_kind(p), mouth_middle(p), pocket_axis(p), p, rho);
}

/* ---- the first time a polynomial goes from above zero to below ---- */

/* b: Bernstein coefficients of degree n on [t0, t1]. */
static double first_fall(const double *b, int n, double t0, double t1) {
  /* All above, or all below: no root. Never falling: none that counts. */
  bool above = true, below = true, falls = false;
  for (int i = 0; i <= n; i++) above &= b[i] > 0, below &= b[i] < 0, falls |= i > 0 && b[i] < b[i - 1];
  if (above || below || !falls) return INFINITY;
  double mid = 0.5 * (t0 + t1);
  if (t1 - t0 < 1e-14 || mid <= t0 || mid >= t1) return b[n] < b[0] ? t0 : INFINITY;
  double l[5], r[5], w[5];
  memcpy(w, b, sizeof(double) * (size_t)(n + 1));
  for (int k = 0; k <= n; k++) { /* de Casteljau at the middle */
    l[k] = w[0];
    r[n - k] = w[n - k];
    for (int i = 0; i < n - k; i++) w[i] = 0.5 * (w[i] + w[i + 1]);
  }
  double t = first_fall(l, n, t0, mid);
  return t < INFINITY ? t : first_fall(r, n, mid, t1);
}

/* c: power coefficients in time. */
static double first_fall_of(const double *c, int n, double t) {
  double b[5], power = 1, scaled[5];
  for (int k = 0; k <= n; k++, power *= t) scaled[k] = c[k] * power;
  for (int i = 0; i <= n; i++) {
    b[i] = 0;
    double ratio = 1; /* C(i,k) / C(n,k) */
    for (int k = 0; k <= i; k++) {
      b[i] += ratio * scaled[k];
      ratio *= (double)(i - k) / (double)(n - k == 0 ? 1 : n - k);
    }
  }
  return first_fall(b, n, 0, t);
}

/* ---- one ball on the cloth ---- */

typedef struct {
  Vec p, v;
  double wx, wy, wz;
  double r, rho, m;
} Ball;

/* Slip at the cloth: v + w x (-R z). */
static Vec slip(const Ball *b) { return vec(b->v.x - b->r * b->wy, b->v.y + b->r * b->wx); }

typedef struct {
  Vec a;         /* acceleration */
  Vec u;         /* direction of slip, zero when rolling */
  double lasts;  /* until rolling, or until rest */
  bool slides;
} Phase;

static Phase phase_of(const Ball *b) {
  Vec u = slip(b);
  double s = len(u);
  if (s > 1e-10) {
    u = mul(1 / s, u);
    return (Phase){mul(-sliding * gravity, u), u, 2 * s / (7 * sliding * gravity), true};
  }
  double v = len(b->v);
  if (v < 1e-12) return (Phase){vec(0, 0), vec(0, 0), 0, false};
  return (Phase){mul(-rolling_friction * gravity / v, b->v), vec(0, 0), v / (rolling_friction * gravity), false};
}

static void move(Ball *b, const Phase *ph, double t) {
  b->p = add(b->p, add(mul(t, b->v), mul(t * t / 2, ph->a)));
  bool whole = t >= ph->lasts;
  if (ph->slides) {
    /* dw/dt = 5 mu g/(2R) z x u */
    double k = 5 * sliding * gravity / (2 * b->r) * t;
    b->v = add(b->v, mul(t, ph->a));
    b->wx += -k * ph->u.y;
    b->wy += k * ph->u.x;
  } else {
    b->v = whole ? vec(0, 0) : add(b->v, mul(t, ph->a));
  }
  if (whole || !ph->slides) { /* rolling: w = z x v / R */
    b->wx = -b->v.y / b->r;
    b->wy = b->v.x / b->r;
  }
  double dz = spin_decay * t;
  b->wz = fabs(b->wz) <= dz ? 0 : b->wz - copysign(dz, b->wz);
}

/* When the ball comes to this feature in the phase, if it does. */
static double meets(const Ball *b, const Phase *ph, const Feature *f) {
  Vec d = sub(b->p, f->at);
  if (f->kind == RAIL || f->kind == FACING) {
    double c[3] = {dot(d, f->normal) - b->rho, dot(b->v, f->normal), dot(ph->a, f->normal) / 2};
    double t = first_fall_of(c, 2, ph->lasts);
    if (t == INFINITY) return t;
    Vec at = add(d, add(mul(t, b->v), mul(t * t / 2, ph->a)));
    double foot = dot(at, f->along);
    return foot >= f->from && foot <= f->to ? t : INFINITY;
  }
  double c[5] = {dot(d, d) - f->radius * f->radius, 2 * dot(d, b->v), dot(b->v, b->v) + dot(d, ph->a), dot(b->v, ph->a), dot(ph->a, ph->a) / 4};
  double t = first_fall_of(c, 4, ph->lasts);
  if (t == INFINITY || f->kind != JAW) return t;
  /* Where the arc runs into the rail or the facing, the ball touches these. */
  Vec at = add(d, add(mul(t, b->v), mul(t * t / 2, ph->a)));
  return dot(at, f->along) < 0 && dot(at, f->facing) < 0 ? t : INFINITY;
}

/* Newton's restitution in plan, the slate holding the ball down; friction towards the mid-impact slip. */
static void rebound(Ball *b, Vec n, double e, double mu) {
  if (e < 0.2) e = 0.2;
  if (e > 1) e = 1;
  if (mu < 0) mu = 0;
  if (mu > 0.28) mu = 0.28;
  Vec t = left(n);
  double vn = dot(b->v, n), vt = dot(b->v, t);
  double up = nose_height - b->r; /* r = -rho n + up z */
  double rx = -b->rho * n.x, ry = -b->rho * n.y, rz = up;
  /* s = v_t t + (1-e)/2 v_n n + w x r, less its part along N = -r/R */
  double mid = 0.5 * (1 - e) * vn;
  double sx = vt * t.x + mid * n.x + b->wy * rz - b->wz * ry;
  double sy = vt * t.y + mid * n.y + b->wz * rx - b->wx * rz;
  double sz = b->wx * ry - b->wy * rx;
  double nx = -rx / b->r, ny = -ry / b->r, nz = -rz / b->r;
  double along = sx * nx + sy * ny + sz * nz;
  sx -= along * nx;
  sy -= along * ny;
  sz -= along * nz;
  double s = sqrt(sx * sx + sy * sy + sz * sz);
  double jn = (1 + e) * b->m * fabs(vn) * b->r / b->rho;
  double j = fmin(2 * b->m * s / 7, mu * jn);
  double jx = 0, jy = 0, jz = 0;
  if (s > 0) {
    jx = -j * sx / s;
    jy = -j * sy / s;
    jz = -j * sz / s;
  }
  vt += (jx * t.x + jy * t.y) / b->m;
  double inertia = 0.4 * b->m * b->r * b->r;
  b->wx += (ry * jz - rz * jy) / inertia;
  b->wy += (rz * jx - rx * jz) / inertia;
  b->wz += (rx * jy - ry * jx) / inertia;
  b->v = add(mul(vt, t), mul(-e * vn, n));
}

typedef enum { MISS, CLEAN, BY_JAW, BY_RAIL } Outcome;
static const char *outcome_name[] = {"miss", "clean", "jaw", "rail"};

static Outcome follow(Ball b, const Scene *s, int target) {
  bool jaw = false, rail = false;
  const Feature *leans = NULL; /* the ball runs along it: no normal speed while pushed in */
  for (int impacts = 0, steps = 0; impacts < 256 && steps < 1000000; steps++) {
    Phase ph = phase_of(&b);
    if (ph.lasts <= 0) return MISS;
    if (leans) {
      Vec n = leans->kind == JAW ? mul(1 / leans->radius, sub(b.p, leans->at)) : leans->normal;
      double in = dot(ph.a, n), v = dot(b.v, n);
      if (leans->kind == JAW || in >= 0) {
        leans = NULL;
      } else {
        /* The direction of slip now turns, so the way is cut into short pieces. */
        ph.a = sub(ph.a, mul(in, n));
        b.v = sub(b.v, mul(v, n));
        if (ph.lasts > 1e-5) ph.lasts = 1e-5;
      }
    }
    double first = INFINITY;
    const Feature *met = NULL;
    for (int i = 0; i < s->count; i++) {
      if (&s->f[i] == leans) continue;
      double t = meets(&b, &ph, &s->f[i]);
      if (t < first) first = t, met = &s->f[i];
    }
    if (!met) {
      double was = ph.lasts;
      Phase cut = ph;
      if (leans) cut.lasts = INFINITY; /* a piece of a phase does not end in rolling */
      if (leans && phase_of(&b).lasts <= was) cut.lasts = was;
      move(&b, &cut, was);
      continue;
    }
    move(&b, &ph, first);
    if (met->kind == HOLE) return met->pocket != target ? MISS : rail ? BY_RAIL : jaw ? BY_JAW : CLEAN;
    impacts++;
    Vec n = met->normal;
    if (met->kind == JAW) n = sub(b.p, met->at), n = mul(1 / len(n), n);
    if (met->kind == RAIL) {
      if (!met->allowed) return MISS;
      rail = true;
      rebound(&b, n, rail_e, rail_mu);
    } else {
      jaw = true;
      rebound(&b, n, facing_e, facing_mu);
    }
    if (dot(b.v, n) < 1e-6 && dot(phase_of(&b).a, n) < 0) leans = met;
  }
  return MISS;
}

/* ---- which directions drop ---- */

typedef struct {
  Ball start; /* at rest, where the object ball lies */
  double speed, line; /* the speed it leaves with, the centre-pocket line */
  Scene scene;
  int target;
} Question;

static Outcome at(const Question *q, double offset) {
  Ball b = q->start;
  b.v = mul(q->speed, towards(q->line + offset));
  return follow(b, &q->scene, q->target);
}

/* The speed it must leave with to have `pace` at the mouth's middle, sliding without spin at first. */
static double leaving_speed(double pace, double way) {
  double v2 = 49 * (pace * pace + 2 * rolling_friction * gravity * way) / (25 + 24 * rolling_friction / sliding);
  if (12 * v2 / (49 * sliding * gravity) > way) v2 = pace * pace + 2 * sliding * gravity * way;
  return sqrt(v2);
}

static double edge[4096];
static Outcome after[4096];
static int edges;

static void split(const Question *q, double a, Outcome ka, double b, Outcome kb) {
  if (ka == kb) return;
  double lo = a, hi = b;
  Outcome kh = kb;
  while (hi - lo > 2e-12) {
    double mid = 0.5 * (lo + hi);
    Outcome k = at(q, mid);
    if (k == ka) lo = mid;
    else hi = mid, kh = k;
  }
  if (edges < 4096) edge[edges] = 0.5 * (lo + hi), after[edges++] = kh;
  split(q, hi, kh, b, kb);
}

static void answer(const Question *q, double reach, double way) {
  edges = 0;
  double step = 0.0005 / way;
  int n = (int)ceil(2 * reach / step);
  Outcome before = at(q, -reach), start = before;
  double x = -reach;
  for (int i = 1; i <= n; i++) {
    double next = -reach + 2 * reach * i / n;
    Outcome k = at(q, next);
    split(q, x, before, next, k);
    x = next;
    before = k;
  }
  int pieces = 0;
  for (int pass = 0; pass < 2; pass++) {
    double from = -reach;
    Outcome k = start;
    for (int i = 0; i <= edges; i++) {
      double to = i < edges ? edge[i] : reach;
      if (k != MISS) {
        if (pass == 0) pieces++;
        else printf("%.10f %.10f %s\n", from / DEG, to / DEG, outcome_name[k]);
      }
      from = to;
      k = i < edges ? after[i] : k;
    }
    if (pass == 0) printf("pieces %d\n", pieces);
  }
}

static void accept(const char *kind, double approach, double pace, double way) {
  static Question q;
  int k = strcmp(kind, "side") == 0;
  double rho = nose_radius(object_radius);
  lone_pocket(&q.scene, k, rho);
  q.line = approach * DEG;
  q.start = (Ball){.p = mul(-way, towards(q.line)), .r = object_radius, .rho = rho, .m = object_mass};
  q.speed = leaving_speed(pace, way);
  q.target = 0;
  answer(&q, 90 * DEG, way);
}

static void bed(const char *name, double x, double y, double pace) {
  static Question q;
  double rho = nose_radius(object_radius);
  for (q.target = 0; q.target < 6 && strcmp(name, pocket_name[q.target]); q.target++) {}
  if (q.target == 6) {
    printf("no pocket %s\n", name);
    return;
  }
  whole_bed(&q.scene, q.target, rho);
  Vec to = sub(mouth_middle(q.target), vec(x, y));
  double way = len(to);
  q.line = atan2(to.y, to.x);
  q.start = (Ball){.p = vec(x, y), .r = object_radius, .rho = rho, .m = object_mass};
  q.speed = leaving_speed(pace, way);
  answer(&q, fmin(90 * DEG, atan(0.52 / way)), way);
}

/* ---- from the stick to what the object ball does ---- */

static void stick(double v0, double across, double height, double elevation, double pivot, Vec object) {
  double r = cue_radius, bx = across * r, bz = height * r, eps = elevation * DEG;
  /* End mass from the pivot, squirt from the end mass (Shepard 2001). */
  double end = 5 * pivot / (2 * r) - 3.5, b = fabs(bx) / r;
  double q = atan(2.5 * b * sqrt(1 - b * b) / (1 + end + 2.5 * (1 - b * b)));
  if (bx < 0) q = -q;
  double s = sqrt(r * r - bx * bx - bz * bz), be = bx * cos(q) - s * sin(q);
  double big = v0 / sqrt(cos(q) * cos(q) * cos(eps) * cos(eps) + sin(q) * sin(q)), k = 5 * big / (2 * r * r);
  Ball c = {.p = vec(0, 0),
            .v = vec(big * cos(q) * cos(eps), big * sin(q)),
            .wx = k * (be * sin(eps) - bz * sin(q) * cos(eps)),
            .wy = k * bz * cos(q),
            .wz = k * (be * cos(eps) + bz * sin(q) * sin(eps)),
            .r = r,
            .rho = nose_radius(r),
            .m = cue_mass};
  Feature ball = {.kind = BALL, .at = object, .radius = 2 * sqrt(cue_radius * object_radius)};
  for (;;) {
    Phase ph = phase_of(&c);
    if (ph.lasts <= 0) {
      printf("passes\n");
      return;
    }
    double t = meets(&c, &ph, &ball);
    if (t < INFINITY) {
      move(&c, &ph, t);
      break;
    }
    move(&c, &ph, ph.lasts);
  }
  Vec n = sub(object, c.p);
  n = mul(1 / len(n), n);
  double v = len(c.v), alpha = atan2(c.v.y, c.v.x), phi = atan2(cross(c.v, n), dot(c.v, n));
  Vec l = mul(1 / v, left(c.v));
  double roll = r * (c.wx * l.x + c.wy * l.y) / v, w = r * c.wz / v;
  double vt = v * (sin(phi) - w), vn = v * cos(phi), vk = r * (c.wx * n.y - c.wy * n.x), vr = hypot(vt, vk);
  double mu = ball_mu_scale * (ball_mu_a + ball_mu_b * exp(-ball_mu_c * vr));
  double tan_t = vr > 0 ? fmin(mu, 2.0 / 7.0 * vr / ((1 + ball_e) * vn)) * vt / vr : 0;
  double throw = atan(tan_t), theta = alpha + phi - throw;
  double vo = cue_mass * (1 + ball_e) / (cue_mass + object_mass) * vn / cos(throw);
  printf("met %.10f %.12f %.12f %.12f %.12f %.12f %.10f %.10f %.12f\n", alpha / DEG, c.p.x, c.p.y, v, roll, w, phi / DEG, theta / DEG, vo);
}

int main(void) {
  char line[512], word[64], name[64];
  while (fgets(line, sizeof line, stdin)) {
    double a, b, c, d, e, f, g;
    if (sscanf(line, "set %63s %lf", name, &a) == 2) {
      size_t i = 0, n = sizeof known / sizeof *known;
      while (i < n && strcmp(known[i].name, name)) i++;
      if (i == n) {
        printf("nothing is called %s\n", name);
        return 1;
      }
      *known[i].value = a;
    } else if (sscanf(line, "accept %63s %lf %lf %lf", word, &a, &b, &c) == 4) {
      accept(word, a, b, c);
    } else if (sscanf(line, "bed %63s %lf %lf %lf", word, &a, &b, &c) == 4) {
      bed(word, a, b, c);
    } else if (sscanf(line, "stick %lf %lf %lf %lf %lf %lf %lf", &a, &b, &c, &d, &e, &f, &g) == 7) {
      stick(a, b, c, d, e, vec(f, g));
    } else {
      printf("cannot read: %s", line);
      return 1;
    }
    fflush(stdout);
  }
  return 0;
}
