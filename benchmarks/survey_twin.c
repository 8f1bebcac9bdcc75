/* The survey's kernels in C, the same equations and quadrature line by line, to be timed beside the compiled
   loops of wringout.physics. Built and called by survey_kernels.py, which hands over constants and nodes. */

#include <math.h>
#include <stdint.h>

#define LANES 64
#define EACH _Pragma("omp simd") for (int i = 0; i < LANES; i++)

static const double roll_nodes[] = {ROLL_NODES}, roll_shares[] = {ROLL_SHARES};
static const double hard_nodes[] = {HARD_NODES}, hard_shares[] = {HARD_SHARES};
static const double float_nodes[] = {FLOAT_NODES}, float_shares[] = {FLOAT_SHARES};
#define COUNT(a) ((int)(sizeof(a) / sizeof(a[0])))

typedef double lanes[LANES] __attribute__((aligned(64)));

static inline __attribute__((always_inline)) double least_of(double a, double b) { return a < b ? a : b; }
static inline __attribute__((always_inline)) double most_of(double a, double b) { return a > b ? a : b; }

typedef struct {
    double rated, by_density, drop, scale, cap, heat, disk, useful, gain, per_level, pitch, windmill;
    double typical, typical_root;
    double lift_off, obstacle, kept, roll_drag, roll_lift, load, pressing, zero_lift_drag, induced, offset;
    double wing_height, nearness, obstacle_height, wind_scale;
} take_off_row;

typedef struct {
    double approach, touchdown, slowest, angle, aims, load, free, roll_drag, roll_lift, pressing, idle_drag;
    double induced, offset, wing_height, nearness, obstacle_height, wind_scale, lost, lag;
} landing_row;

typedef struct { lanes density, standard, warm, wind, gain, sine, cosine; } air;

static void lay_out(const double *columns, int64_t conditions, int64_t start, int count, air *a) {
    double *rows = (double *)a;
    for (int n = 0; n < 7; n++)
        for (int i = 0; i < LANES; i++)
            rows[n * LANES + i] = columns[n * conditions + start + (i < count ? i : count - 1)];
}

static void kinds_of(const int64_t *surface, int count, int64_t *kinds) {
    for (int i = 0; i < LANES; i++) kinds[i] = surface[i < count ? i : count - 1];
}

static void look_up(const double *table, const int64_t *kinds, double *to) {
    EACH to[i] = table[kinds[i]];
}

/* ------------------------------------------------------------------------------------------- take-off */

typedef struct { lanes path, kinetic, height, moved, gust; } states;
typedef struct {
    lanes friction, push, constant, root, inverse, speed, first, last, rise, least, begins, sum, run;
    lanes climb, rises, steeper, before, close, result;
    states at, away;
} take_off_room;

typedef struct { double density, push, constant, root, inverse; } given;
typedef struct { given g; double sine, cosine, wind, scale, first, last, rise; } kase;
typedef struct { double path, kinetic, height, moved, gust; } state;

static inline __attribute__((always_inline)) double power_of(const take_off_row *r, double standard, double warm) {
    double part = (r->by_density * standard - r->drop) * r->scale;
    double x = r->heat * warm;
    double heated = 1 + x * (1 + x / 2 * (1 + x / 3 * (1 + x / 4 * (1 + x / 5 * (1 + x / 6 * (1 + x / 7))))));
    return r->rated * least_of(most_of(part, 0.0), r->cap) * heated;
}

static inline __attribute__((always_inline)) double disk_root(const take_off_row *r, double constant) {
    double share = constant / r->typical;
    double root = 0.42 + share * (0.66 - 0.08 * least_of(share, 3.0));
    double cube = root * root * root;
    root = root * (cube + 2 * share) / (2 * cube + share);
    cube = root * root * root;
    return r->typical_root * root * (cube + 2 * share) / (2 * cube + share);
}

static inline __attribute__((always_inline)) double thrust(const take_off_row *r, given g, double speed) {
    double part_way = least_of(speed * r->per_level, 1.0);
    double more = r->gain * part_way * (2 - part_way);
    double little = more * (1.0 / 3 - more * (1.0 / 9 - more * (5.0 / 81)));
    double part = speed * g.inverse * (1 - little * (1 - little * (1 - little)));
    double near = least_of(part, 2.0), past = most_of(part - 2.0, 0.0), over = least_of(past, 2.0);
    double quartic = 1 + near * (0.3323 + near * (0.1111 + near * (0.03235 - 0.01015 * near)));
    double w = g.root * (1 + little) * (quartic + past - over * (0.1311 - 0.0293 * over));
    double excess = w * w * (w - speed) - g.constant * (1 + more), slope = w * (3 * w - 2 * speed);
    w = w - excess * slope / (slope * slope - excess * (3 * w - speed));
    return g.density * (r->disk * w * (w - speed) + r->windmill * speed * fabs(speed)) + g.push;
}

static inline __attribute__((always_inline)) kase case_of(const take_off_row *r, const air *a, const take_off_room *m, int i) {
    kase c = {{a->density[i], m->push[i], m->constant[i], m->root[i], m->inverse[i]},
              a->sine[i], a->cosine[i], a->wind[i], a->gain[i] * r->wind_scale,
              m->first[i], m->last[i], m->rise[i]};
    return c;
}

static inline __attribute__((always_inline)) state state_of(const states *s, int i) {
    state z = {s->path[i], s->kinetic[i], s->height[i], s->moved[i], s->gust[i]};
    return z;
}

static inline __attribute__((always_inline)) void put(states *s, int i, state z) {
    s->path[i] = z.path;
    s->kinetic[i] = z.kinetic;
    s->height[i] = z.height;
    s->moved[i] = z.moved;
    s->gust[i] = z.gust;
}

static inline __attribute__((always_inline)) double accelerating(const take_off_row *r, const kase *c, double friction, double speed) {
    double pull = thrust(r, c->g, speed);
    double pressure = c->g.density * speed * fabs(speed);
    double wheels = most_of(c->cosine - r->roll_lift * fabs(pressure), 0.0);
    return pull - r->roll_drag * pressure - friction * wheels - c->sine;
}

static void run_by(const take_off_row *r, const air *a, take_off_room *m, int count, const double *nodes,
                   const double *shares) {
    EACH {
        kase c = case_of(r, a, m, i);
        double gained = accelerating(r, &c, m->friction[i], least_of(a->wind[i], m->speed[i]));
        m->begins[i] = m->least[i] = gained;
        m->sum[i] = shares[0] / gained;
    }
    for (int n = 1; n < count; n++) {
        double place = nodes[n], share = shares[n];
        EACH {
            double start = least_of(a->wind[i], m->speed[i]), speed = start + place * (m->speed[i] - start);
            kase c = case_of(r, a, m, i);
            double gained = accelerating(r, &c, m->friction[i], speed);
            m->least[i] = least_of(m->least[i], gained);
            m->sum[i] += share / gained;
        }
    }
}

static void ground_run(const take_off_row *r, const air *a, take_off_room *m) {
    EACH {
        double push = power_of(r, a->standard[i], a->warm[i]);
        double constant = most_of(r->useful * push / a->density[i], 1e-9);
        double root = disk_root(r, constant);
        double true_ = sqrt(SEA_LEVEL_DENSITY / a->density[i]);
        double lift_off = r->lift_off * true_, obstacle = r->obstacle * true_ + r->kept * a->gain[i];
        m->push[i] = r->pitch * push;
        m->constant[i] = constant;
        m->root[i] = root;
        m->inverse[i] = 1 / root;
        m->speed[i] = lift_off;
        m->first[i] = lift_off * lift_off / (2 * GRAVITY);
        m->last[i] = obstacle * obstacle / (2 * GRAVITY);
        m->rise[i] = r->obstacle_height * a->cosine[i];
    }
    run_by(r, a, m, COUNT(roll_nodes), roll_nodes, roll_shares);
    int hard = 0;
    EACH {
        double span = m->speed[i] - least_of(a->wind[i], m->speed[i]);
        int easy = m->least[i] > HARD * m->begins[i];
        m->run[i] = easy ? span * span / GRAVITY * m->sum[i] : -1.0;
    }
    for (int i = 0; i < LANES; i++) hard += m->run[i] < 0;
    if (!hard) return;
    run_by(r, a, m, COUNT(hard_nodes), hard_nodes, hard_shares);
    EACH {
        double span = m->speed[i] - least_of(a->wind[i], m->speed[i]);
        double run = m->least[i] > 0 ? span * span / GRAVITY * m->sum[i] : INFINITY;
        m->run[i] = m->run[i] < 0 ? run : m->run[i];
    }
}

static inline __attribute__((always_inline)) state change(const take_off_row *r, const kase *c, state z, double arc) {
    double kinetic = most_of(z.kinetic, c->first / 4), over = 1 / kinetic;
    double speed = sqrt(2 * GRAVITY * kinetic), slowness = speed * over / (2 * GRAVITY);
    double above = r->wing_height + most_of(z.height, 0.0), near = r->nearness * above * sqrt(above);
    double inverse = 1 / (above * (1 + near));
    double effect = near * above * inverse, closeness = (1 + near) * inverse;
    double level = sqrt(most_of(1 - z.path * z.path, 0.01));
    double burden = z.path * c->cosine + level * c->sine, across = level * c->cosine - z.path * c->sine;
    double excess = arc * (r->load * most_of(kinetic / c->first, 1.0) - across);
    double heavy = r->pressing * c->g.density, pressure = heavy * kinetic;
    double off = across + excess - r->offset * pressure;
    double drag = pressure * r->zero_lift_drag + effect * r->induced * off * off * over / heavy;
    double freshening = c->scale * closeness * z.path;
    state d = {level * excess * over / 2,
               thrust(r, c->g, speed) - drag - burden + speed / GRAVITY * freshening,
               z.path, level - (c->wind + z.gust) * slowness, freshening};
    return d;
}

static inline __attribute__((always_inline)) state on(state z, double h, state d) {
    state y = {z.path + h * d.path, z.kinetic + h * d.kinetic, z.height + h * d.height,
               z.moved + h * d.moved, z.gust + h * d.gust};
    return y;
}

static inline __attribute__((always_inline)) state step(const take_off_row *r, const kase *k, state z, state f, double h, double arc) {
    state a = change(r, k, on(z, h / 4, f), arc);
    state b = change(r, k, on(on(z, h / 8, f), h / 8, a), arc);
    state c = change(r, k, on(on(z, -h / 2, a), h, b), arc);
    state d = change(r, k, on(on(z, h * 3 / 16, f), h * 9 / 16, c), arc);
    state p = on(on(on(z, h * -3 / 7, f), h * 2 / 7, a), h * 12 / 7, b);
    state e = change(r, k, on(on(p, h * -12 / 7, c), h * 8 / 7, d), arc);
    state ends = on(on(z, h * 7 / 90, f), h * 7 / 90, e);
    return on(on(on(ends, h * 32 / 90, b), h * 12 / 90, c), h * 32 / 90, d);
}

static inline __attribute__((always_inline)) double to_leave(const kase *c, state z, state d, double bend, double climb, double steeper) {
    double spare = d.kinetic + d.height, below = c->rise - z.height, wanted = c->last - z.kinetic + below;
    double constant = z.path * wanted - climb * below;
    double linear = bend * (wanted - steeper * below) + z.path * (climb - spare);
    double square = bend * (climb / 2 - spare + steeper * z.path);
    double under = linear + sqrt(most_of(linear * linear - 4 * square * constant, 0.0));
    double leaves = under > 1e-12 ? -2 * constant / under : (constant < 0 ? 1e300 : -1e300);
    double reaches = 2 * below / (z.path + sqrt(most_of(z.path * z.path + 2 * bend * below, 1e-12)));
    return least_of(leaves, reaches);
}

static void level(const take_off_row *r, const air *a, take_off_room *m) {
    EACH {
        kase c = case_of(r, a, m, i);
        state start = {0.0, c.first, 0.0, 0.0, 0.0}, end = {0.0, c.last, c.rise, 0.0, 0.0};
        state half = {0.0, (c.first + c.last) / 2, c.rise / 2, 0.0, 0.0};
        double first = change(r, &c, start, 0.0).kinetic, last = change(r, &c, end, 0.0).kinetic;
        m->climb[i] = (first + 4 * change(r, &c, half, 0.0).kinetic + last) / 6;
        m->rises[i] = m->climb[i];
        m->steeper[i] = 0.0;
        m->before[i] = 0.0;
        put(&m->at, i, start);
    }
}

static void arc_on(const take_off_row *r, const air *a, take_off_room *m, int steps) {
    EACH {
        kase c = case_of(r, a, m, i);
        state z = state_of(&m->at, i), d = change(r, &c, z, 1.0);
        double bend = most_of(d.path, 1e-9);
        double rest = to_leave(&c, z, d, bend, m->climb[i], m->steeper[i]);
        double half = most_of(z.kinetic + d.kinetic * rest / 2, z.kinetic / 2);
        bend = bend + most_of((1 / z.kinetic - 1 / half) / 2, -0.5 * bend);
        rest = to_leave(&c, z, d, bend, m->climb[i], m->steeper[i]);
        rest = most_of(rest, -0.5 * z.height / most_of(z.path, 1e-3));
        put(&m->at, i, step(r, &c, z, d, rest / steps, 1.0));
    }
}

static void straight_on(const take_off_row *r, const air *a, take_off_room *m, int steps) {
    EACH {
        state z = state_of(&m->at, i);
        double low = r->wing_height + z.height;
        z.path = most_of(z.path, 1e-3);
        put(&m->away, i, z);
        m->close[i] = 2 * low / (low + r->wing_height + m->rise[i]);
    }
    for (int n = 0; n < steps; n++) {
        double begin = (double)n / steps, end = (double)(n + 1) / steps;
        EACH {
            kase c = case_of(r, a, m, i);
            state z = state_of(&m->away, i);
            double share = (end - begin) * (m->close[i] + (1 - m->close[i]) * (end + begin));
            double length = (c.rise - m->at.height[i]) / z.path * share;
            put(&m->away, i, step(r, &c, z, change(r, &c, z, 0.0), length, 0.0));
        }
    }
    EACH {
        double below = m->rise[i] - m->at.height[i];
        double gained = m->away.kinetic[i] - m->at.kinetic[i] + below, path = m->away.path[i];
        double climb = gained * path / most_of(below, 1e-9), apart = path - m->before[i];
        double steeper = fabs(apart) > 1e-7 ? (climb - m->climb[i]) / apart : 0.0;
        m->steeper[i] = least_of(most_of(steeper, -MOST_STEEPER), MOST_STEEPER);
        m->before[i] = path;
        m->climb[i] = climb;
    }
}

static void settle(const take_off_row *r, const air *a, take_off_room *m) {
    lanes low, high, at_low, at_high, side, place;
    EACH {
        low[i] = 0.0;
        at_low[i] = m->rise[i] * m->rises[i];
        high[i] = sqrt(4 * m->first[i] * m->rise[i] / (r->load - a->cosine[i]));
        at_high[i] = -1.0;
        side[i] = 0.0;
    }
    for (int n = 0; n < SETTLING; n++) {
        EACH {
            kase c = case_of(r, a, m, i);
            state z = {0.0, c.first, 0.0, 0.0, 0.0};
            double between = low[i] + (high[i] - low[i]) * at_low[i] / (at_low[i] - at_high[i]);
            place[i] = n == 0 ? high[i] : between;
            put(&m->at, i, step(r, &c, z, change(r, &c, z, 1.0), place[i] / 2, 1.0));
        }
        EACH {
            kase c = case_of(r, a, m, i);
            state z = state_of(&m->at, i);
            put(&m->at, i, step(r, &c, z, change(r, &c, z, 1.0), place[i] / 2, 1.0));
        }
        straight_on(r, a, m, STRAIGHT_STEPS);
        EACH {
            double value = (m->away.kinetic[i] - m->last[i]) * m->away.path[i];
            int above = value > 0;
            double down = side[i] > 0 ? at_high[i] / 2 : at_high[i], up = side[i] < 0 ? at_low[i] / 2 : at_low[i];
            at_high[i] = above ? down : least_of(value, -1e-300);
            at_low[i] = above ? value : up;
            low[i] = above ? place[i] : low[i];
            high[i] = above ? high[i] : place[i];
            side[i] = above ? 1.0 : -1.0;
        }
    }
}

static void air_phase(const take_off_row *r, const air *a, take_off_room *m) {
    static const int corrections[] = {CORRECTIONS};
    level(r, a, m);
    for (int steps = ARC_STEPS; steps > 0; steps--) arc_on(r, a, m, steps);
    for (int n = 0; n < COUNT(corrections); n++) {
        straight_on(r, a, m, corrections[n]);
        arc_on(r, a, m, 1);
    }
    straight_on(r, a, m, STRAIGHT_STEPS);
    EACH {
        kase c = case_of(r, a, m, i);
        state z = state_of(&m->at, i), d = change(r, &c, z, 1.0);
        double rest = to_leave(&c, z, d, most_of(d.path, 1e-9), m->climb[i], m->steeper[i]);
        double length = (c.rise - z.height) / m->away.path[i], farther = m->away.moved[i] - z.moved;
        double mean = farther / most_of(length, 1e-9), steepens = d.path / m->away.path[i];
        double gain = d.moved - mean * (1 + length * steepens) - length * z.path * d.path;
        double correction = least_of(most_of(rest, -0.5), 0.5) * gain, total = z.moved + farther + correction;
        int unsettled = (fabs(correction) > SETTLED * total) & (m->rises[i] > 0);
        m->result[i] = unsettled ? -1.0 : (m->rises[i] > 0 ? total : INFINITY);
    }
    int many = 0;
    for (int i = 0; i < LANES; i++) many += m->result[i] < 0;
    if (!many) return;
    settle(r, a, m);
    EACH m->result[i] = m->result[i] < 0 ? m->away.moved[i] : m->result[i];
}

static void take_off_run(const double *rows, int64_t v, const double *friction, int64_t surfaces,
                         const double *columns, const int64_t *surface, int64_t conditions, double *rolls,
                         double *distances, int threads) {
    int64_t blocks = (conditions + LANES - 1) / LANES;
#pragma omp parallel for schedule(dynamic, 16) num_threads(threads)
    for (int64_t b = 0; b < blocks; b++) {
        air a;
        take_off_room m;
        int64_t start = b * LANES;
        int count = (int)least_of(LANES, conditions - start);
        int64_t kinds[LANES];
        lay_out(columns, conditions, start, count, &a);
        kinds_of(surface + start, count, kinds);
        for (int64_t n = 0; n < v; n++) {
            take_off_row r = ((const take_off_row *)rows)[n];
            look_up(friction + n * surfaces, kinds, m.friction);
            ground_run(&r, &a, &m);
            if (distances) air_phase(&r, &a, &m);
            for (int i = 0; i < count; i++) {
                rolls[n * conditions + start + i] = m.run[i];
                if (distances) distances[n * conditions + start + i] = m.run[i] + m.result[i];
            }
        }
    }
}

void twin_take_off(const double *rows, int64_t v, const double *friction, int64_t surfaces,
                   const double *columns, const int64_t *surface, int64_t conditions, double *rolls,
                   double *distances, int threads) {
    take_off_run(rows, v, friction, surfaces, columns, surface, conditions, rolls, distances, threads);
}

void twin_ground_run(const double *rows, int64_t v, const double *friction, int64_t surfaces,
                     const double *columns, const int64_t *surface, int64_t conditions, double *rolls,
                     int threads) {
    take_off_run(rows, v, friction, surfaces, columns, surface, conditions, rolls, 0, threads);
}

/* -------------------------------------------------------------------------------------------- landing */

typedef struct {
    lanes friction, brakes, slow, left, floated, least, most, airborne, braked, free, sum, rolled, meets;
} landing_room;

static inline __attribute__((always_inline)) double idle_drag(const landing_row *r, double density, double square, double load, double height) {
    double pressure = r->pressing * density * square, above = r->wing_height + height;
    double near = r->nearness * above * sqrt(above), off = load - r->offset * pressure;
    return pressure * r->idle_drag + near * r->induced * off * off / ((1 + near) * pressure);
}

/* The C library's logarithm and arc sine are at hand in wide registers or not, as the compiler pleases; these
   are the loops' own, which always are. */
static inline __attribute__((always_inline)) double logarithm(double value) {
    double root = sqrt(sqrt(value)), t = (root - 1) / (root + 1), s = t * t;
    double series = 1.0 / 9 + s * (1.0 / 11 + s * (1.0 / 13 + s * (1.0 / 15 + s / 17)));
    return 8 * t * (1 + s * (1.0 / 3 + s * (1.0 / 5 + s * (1.0 / 7 + s * series))));
}

static inline __attribute__((always_inline)) double arc_sine(double sine) {
    double half = sqrt((1 + sqrt(most_of(1 - sine * sine, 0.0))) / 2), quarter = sqrt((1 + half) / 2);
    double t = sine / (4 * half * quarter), s = t * t;
    double series = 35.0 / 1152 + s * (63.0 / 2816 + s * (231.0 / 13312 + s * (143.0 / 10240)));
    return 4 * t * (1 + s * (1.0 / 6 + s * (3.0 / 40 + s * (5.0 / 112 + s * series))));
}

static inline __attribute__((always_inline)) double sum_to(double wing, double height) {
    return (height + wing) * logarithm(1 + height / wing) - height;
}

static void landing_air(const landing_row *r, const air *a, landing_room *m) {
    EACH {
        double density = a->density[i], wind = a->wind[i], gain = a->gain[i];
        double true_ = sqrt(SEA_LEVEL_DENSITY / density), fast = r->approach * true_ - r->lag * gain;
        double slow = most_of(r->touchdown * true_ - r->lost * gain, r->slowest * true_);
        double eased = r->angle * (1 - r->aims * least_of(most_of((wind + gain) / fast, -0.5), 0.5));
        double angle = r->aims > 0 ? least_of(most_of(eased, 0.01), 0.5) : eased, q = angle * angle;
        double down = angle * (1 - q / 6 * (1 - q / 20 * (1 - q / 42 * (1 - q / 72))));
        double ahead = 1 - q / 2 * (1 - q / 12 * (1 - q / 30 * (1 - q / 56 * (1 - q / 90))));
        double closing = down + (ahead - wind / fast) * a->sine[i] / a->cosine[i];
        double path = least_of(most_of(closing > 0 ? closing : 0.1, 1e-6), 0.99);
        double level = sqrt(1 - path * path), bent = arc_sine(path);
        double radius = fast * fast / (GRAVITY * (r->load - path / bent));
        double turned = most_of(most_of(level, 1 - r->obstacle_height / radius), 0.0);
        double turning = sqrt(1 - turned * turned), high = radius * (1 - turned);
        double arc = radius * arc_sine(turning), straight = (r->obstacle_height - high) / path;
        double held = idle_drag(r, density, fast * fast, r->load, high / 3);
        double flared = most_of(fast * fast + 2 * GRAVITY * (high - arc * held), slow * slow);
        double left = most_of(sqrt(flared) - gain, slow), sums = sum_to(r->wing_height, high);
        double above = (sum_to(r->wing_height, r->obstacle_height) - sums) / (path * fast);
        double below = sums / most_of(high, 1e-6) * 2 * arc / (fast + left);
        double lasted = straight / fast + 2 * arc / (fast + left);
        m->meets[i] = closing;
        m->airborne[i] =
            straight * level + radius * turning - wind * lasted - r->wind_scale * gain * (above + below);
        m->slow[i] = slow;
        m->left[i] = left;
        m->least[i] = 1e300;
        m->floated[i] = 0.0;
    }
    for (int n = 0; n < COUNT(float_nodes); n++) {
        double place = float_nodes[n], share = float_shares[n];
        EACH {
            double low = m->slow[i] * m->slow[i], high = m->left[i] * m->left[i];
            double square = low + place * (high - low), speed = sqrt(square);
            double slowing = idle_drag(r, a->density[i], square, 1.0, 0.0) + a->sine[i];
            m->least[i] = least_of(m->least[i], slowing);
            m->floated[i] += share * (speed - a->wind[i]) / (slowing * speed);
        }
    }
    EACH {
        double low = m->slow[i] * m->slow[i], high = m->left[i] * m->left[i];
        int floats = high > low;
        double whole = m->airborne[i] + (floats ? m->floated[i] * (high - low) / (2 * GRAVITY) : 0.0);
        m->airborne[i] = (m->meets[i] > 0) & ((m->least[i] > 0) | !floats) ? whole : INFINITY;
    }
}

static inline __attribute__((always_inline)) double slowing_of(const landing_row *r, const air *a, int i, double speed, double friction) {
    double pressure = a->density[i] * speed * fabs(speed);
    double wheels = most_of(a->cosine[i] - r->roll_lift * fabs(pressure), 0.0);
    return r->roll_drag * pressure + friction * wheels + a->sine[i];
}

static void stop_by(const landing_row *r, const air *a, landing_room *m, int count, const double *nodes,
                    const double *shares) {
    EACH {
        m->sum[i] = 0.0;
        m->least[i] = 1e300;
        m->most[i] = 0.0;
    }
    for (int n = 0; n < count; n++) {
        double place = nodes[n], share = shares[n];
        EACH {
            double speed = least_of(a->wind[i], m->slow[i]) + place * m->braked[i];
            double slowing = slowing_of(r, a, i, speed, m->brakes[i]);
            m->least[i] = least_of(m->least[i], slowing);
            m->most[i] = most_of(m->most[i], slowing);
            m->sum[i] += share / slowing;
        }
    }
}

static void landing_run(const landing_row *r, const air *a, landing_room *m) {
    EACH {
        double speed = m->slow[i], friction = m->friction[i];
        double over_ground = speed - least_of(a->wind[i], speed);
        double first = slowing_of(r, a, i, speed, friction);
        double middle = GRAVITY * slowing_of(r, a, i, speed - r->free / 2 * GRAVITY * first, friction);
        double lasts = middle * r->free > over_ground ? over_ground / most_of(middle, 1e-9) : r->free;
        double half = lasts / 2 * GRAVITY;
        double second = slowing_of(r, a, i, speed - half * first, friction);
        double third = slowing_of(r, a, i, speed - half * second, friction);
        double fourth = slowing_of(r, a, i, speed - 2 * half * third, friction);
        double lost = GRAVITY * lasts / 6 * (first + 2 * (second + third) + fourth);
        m->braked[i] = most_of(over_ground - lost, 0.0);
        m->free[i] = lasts * (over_ground - GRAVITY * lasts / 6 * (first + second + third));
    }
    stop_by(r, a, m, COUNT(roll_nodes), roll_nodes, roll_shares);
    int hard = 0;
    EACH {
        int easy = m->least[i] > HARD * m->most[i];
        m->rolled[i] = easy ? m->free[i] + m->braked[i] * m->braked[i] / GRAVITY * m->sum[i] : -1.0;
    }
    for (int i = 0; i < LANES; i++) hard += m->rolled[i] < 0;
    if (!hard) return;
    stop_by(r, a, m, COUNT(hard_nodes), hard_nodes, hard_shares);
    EACH {
        double stop = m->least[i] > 0 ? m->braked[i] * m->braked[i] / GRAVITY * m->sum[i] : INFINITY;
        m->rolled[i] = m->rolled[i] < 0 ? m->free[i] + stop : m->rolled[i];
    }
}

void twin_landing(const double *rows, int64_t v, const double *rolling, const double *braking, int64_t surfaces,
                  const double *columns, const int64_t *surface, int64_t conditions, double *rolls,
                  double *distances, int threads) {
    int64_t blocks = (conditions + LANES - 1) / LANES;
#pragma omp parallel for schedule(dynamic, 16) num_threads(threads)
    for (int64_t b = 0; b < blocks; b++) {
        air a;
        landing_room m;
        int64_t start = b * LANES;
        int count = (int)least_of(LANES, conditions - start);
        int64_t kinds[LANES];
        lay_out(columns, conditions, start, count, &a);
        kinds_of(surface + start, count, kinds);
        for (int64_t n = 0; n < v; n++) {
            landing_row r = ((const landing_row *)rows)[n];
            look_up(rolling + n * surfaces, kinds, m.friction);
            look_up(braking + n * surfaces, kinds, m.brakes);
            landing_air(&r, &a, &m);
            landing_run(&r, &a, &m);
            for (int i = 0; i < count; i++) {
                rolls[n * conditions + start + i] = m.rolled[i];
                distances[n * conditions + start + i] = m.rolled[i] + m.airborne[i];
            }
        }
    }
}
