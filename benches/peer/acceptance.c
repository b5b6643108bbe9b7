/* One acceptance in C: the same pocket, motion and impacts as acceptance.py, every direction traced from event
 * to event. Between events a ball follows a polynomial of time; events are looked for in steps of 4 mm and
 * halved to their time, and edges are halved to 1e-6 rad. Prints the seconds it takes and the half-widths of
 * what goes in untouched and off the jaws, in degrees. */
#include <math.h>
#include <stdio.h>
#include <time.h>

static const double G = 9.80665, R = 0.028575;
static const double MU_S = 0.2, MU_R = 0.010, E_RAIL = 0.85, E_FACE = 0.70, MU = 0.14;
static const double INCH = 0.0254, STEP_M = 0.004;
static double H, RHO, HALF, HOLE, R_S;

enum { NOTHING, CLEAN, JAW, RAIL };

typedef struct {
    double sx, sy, ax, ay, nx, ny, e;
} Line;
typedef struct {
    double px, py, vx, vy, qx, qy, w;
} Ball;
/* The ball, its acceleration, and the rate of change of its roll. */
typedef struct {
    Ball from;
    double ax, ay, bx, by;
} Leg;

static Line lines[4];

static void set_out(void) {
    H = 0.635 * 2 * R - R;
    RHO = sqrt(R * R - H * H);
    HALF = 4.5625 * INCH / 2;
    R_S = 2.75 * INCH;
    HOLE = 1.625 * INCH + R_S;
    double beta = 7 * M_PI / 180;
    for (int k = 0; k < 4; k++) {
        double side = k < 2 ? 1 : -1;
        Line *l = &lines[k];
        int rail = k % 2 == 0;
        l->ax = rail ? -sqrt(0.5) : cos(beta);
        l->ay = rail ? side * sqrt(0.5) : -side * sin(beta);
        l->e = rail ? E_RAIL : E_FACE;
        l->nx = l->ay, l->ny = -l->ax;
        if (l->ny * side > 0) l->nx = -l->nx, l->ny = -l->ny;
        l->sx = RHO * l->nx, l->sy = side * HALF + RHO * l->ny;
    }
}

static inline void at(const Leg *leg, double t, double *x, double *y) {
    *x = leg->from.px + t * (leg->from.vx + 0.5 * t * leg->ax);
    *y = leg->from.py + t * (leg->from.vy + 0.5 * t * leg->ay);
}

/* Distance from event `k`: the hole, four lines, two jaws. */
static inline double gap(const Leg *leg, int k, double t) {
    double x, y;
    at(leg, t, &x, &y);
    if (k == 0) return hypot(x - HOLE, y) - R_S;
    if (k <= 4) {
        const Line *l = &lines[k - 1];
        double dx = x - l->sx, dy = y - l->sy;
        return dx * l->ax + dy * l->ay > 0 ? dx * l->nx + dy * l->ny : 1.0;
    }
    return hypot(x, y - (k == 5 ? HALF : -HALF)) - RHO;
}

static void rebound(Ball *b, double nx, double ny, double e) {
    double tx = -ny, ty = nx;
    double vn = b->vx * nx + b->vy * ny, vt = b->vx * tx + b->vy * ty;
    if (vn >= 0) return;
    double wt = (b->qx * nx + b->qy * ny) / R, wn = -(b->qx * tx + b->qy * ty) / R;
    double st = vt - RHO * b->w - H * wn;
    double sb = (H * (0.5 * (1 - e) * vn + H * wt) + RHO * RHO * wt) / R;
    double slip = hypot(st, sb);
    double j = slip > 0 ? -fmin(2 * slip / 7, MU * (1 + e) * -vn * R / RHO) / slip : 0;
    double jt = j * st, jb = j * sb, k = 2.5 / (R * R);
    wn -= H * jt * k;
    wt += R * jb * k;
    b->w -= RHO * jt * k;
    double away = -e * vn, along = vt + jt;
    b->vx = away * nx + along * tx, b->vy = away * ny + along * ty;
    b->qx = R * wt * nx - R * wn * tx, b->qy = R * wt * ny - R * wn * ty;
}

static int drops(double angle, double from, double speed) {
    Ball b = {from, 0, speed * cos(angle), speed * sin(angle), 0, 0, 0};
    int how = CLEAN;
    for (int hits = 0; hits < 64;) {
        double ux = b.vx - b.qx, uy = b.vy - b.qy, slip = hypot(ux, uy), v = hypot(b.vx, b.vy);
        int sliding = slip > 1e-9;
        if (!sliding && v <= 0) return NOTHING;
        double brake = (sliding ? MU_S : MU_R) * G, per = sliding ? slip : v;
        ux = (sliding ? ux : b.vx) / per, uy = (sliding ? uy : b.vy) / per;
        double spin = sliding ? 2.5 * brake : -brake;
        Leg leg = {b, -brake * ux, -brake * uy, spin * ux, spin * uy};
        double span = sliding ? 2 * slip / (7 * brake) : v / brake;
        double step = STEP_M / fmax(v, 0.1), before[7], t = 0;
        int hit = -1;
        for (int k = 0; k < 7; k++) before[k] = gap(&leg, k, 0);
        while (hit < 0 && t < span) {
            double next = fmin(t + step, span), first = next;
            for (int k = 0; k < 7; k++) {
                double now = gap(&leg, k, next);
                if (before[k] > 0 && now <= 0) {
                    double lo = t, hi = next;
                    while (hi - lo > 1e-12) {
                        double middle = 0.5 * (lo + hi);
                        if (gap(&leg, k, middle) > 0) lo = middle;
                        else hi = middle;
                    }
                    if (hit < 0 || hi < first) hit = k, first = hi;
                }
                before[k] = now;
            }
            t = first;
        }
        at(&leg, t, &b.px, &b.py);
        b.vx += t * leg.ax, b.vy += t * leg.ay;
        b.qx += t * leg.bx, b.qy += t * leg.by;
        b.w = copysign(fmax(fabs(b.w) - 10 * t, 0), b.w);
        if (hit == 0) return how;
        if (hit < 0) {
            if (!sliding) return NOTHING;
            b.qx = b.vx, b.qy = b.vy;
            continue;
        }
        hits++;
        double nx, ny, e = E_FACE;
        if (hit <= 4) {
            nx = lines[hit - 1].nx, ny = lines[hit - 1].ny, e = lines[hit - 1].e;
            how = hit % 2 == 1 ? RAIL : how == CLEAN ? JAW : how;
        } else {
            nx = b.px / RHO, ny = (b.py - (hit == 5 ? HALF : -HALF)) / RHO;
            how = how == CLEAN ? JAW : how;
        }
        rebound(&b, nx, ny, e);
        b.px += 1e-10 * nx, b.py += 1e-10 * ny;
    }
    return NOTHING;
}

/* By symmetry the left half is enough, as in acceptance.py. */
static void half(double found[4]) {
    double pace = 1.0;
    double speed = sqrt(49 * (pace * pace + 2 * MU_R * G * 0.8) / (25 + 24 * MU_R / MU_S));
    double step = 0.5e-3 / 0.8;
    int was = drops(0, -0.8, speed);
    for (int k = 1; k * step < 0.12; k++) {
        int now = drops(k * step, -0.8, speed);
        if (now != was) {
            double lo = (k - 1) * step, hi = k * step;
            while (hi - lo > 1e-6) {
                double middle = 0.5 * (lo + hi);
                if (drops(middle, -0.8, speed) == was) lo = middle;
                else hi = middle;
            }
            if (found[was] == 0) found[was] = 0.5 * (lo + hi) * 180 / M_PI;
        }
        was = now;
    }
}

static double now(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return t.tv_sec + 1e-9 * t.tv_nsec;
}

int main(void) {
    set_out();
    double best = INFINITY, found[4];
    for (int round = 0; round < 20; round++) {
        for (int k = 0; k < 4; k++) found[k] = 0;
        double start = now();
        half(found);
        best = fmin(best, 2 * (now() - start));
    }
    printf("acceptance,%.9f,%.5f,%.5f\n", best, found[CLEAN], found[JAW]);
    return 0;
}
