package api

import (
	"math"
	"net"
	"net/http"
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"

	"pumpwright/app/shop"
	"pumpwright/calc/say"
)

const tokenScheme = "token"

// visit is one request of a program that was let in.
type visit struct {
	context
	shop  *shop.Shop
	scope shop.Scope
}

type visitKey struct{}

func visitOf(ctx context) *visit {
	v, _ := ctx.Value(visitKey{}).(visit)
	v.context = ctx
	return &v
}

// come lets a program in that shows a token which holds. Each token may ask so
// often, and an address that shows none that holds much less often.
func (s *Server) come(c huma.Context, next func(huma.Context)) {
	r, w := humago.Unwrap(c)
	secret, shown := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer ")
	var scope shop.Scope
	var err error
	switch {
	case shown:
		scope, err = s.config.Shop.OpenToken(r.Context(), secret)
	case s.config.Demo != "":
		scope, err = s.config.Shop.DemoScope(r.Context(), s.config.Demo)
	}
	if err != nil && say.AsProblem(err) == nil {
		s.config.Log.Error("token could not be read", "error", err)
		writeProblem(w, broken())
		return
	}
	if err != nil || scope.Site == "" {
		if wait := s.limits.take(addressOf(r), strangers); wait > 0 {
			tooMany(w, wait)
			return
		}
		w.Header().Set("WWW-Authenticate", `Bearer realm="pumpwright"`)
		writeProblem(w, problemOf(http.StatusUnauthorized, typeToken, msgToken.With().String()))
		return
	}
	if wait := s.limits.take("token "+scope.Program, s.limits.rate); wait > 0 {
		tooMany(w, wait)
		return
	}
	next(huma.WithValue(c, visitKey{}, visit{shop: s.config.Shop, scope: scope}))
}

func tooMany(w http.ResponseWriter, wait time.Duration) {
	seconds := int(math.Ceil(wait.Seconds()))
	w.Header().Set("Retry-After", strconv.Itoa(seconds))
	writeProblem(w, problemOf(http.StatusTooManyRequests, typeMany, msgMany.With(seconds).String()))
}

// addressOf names a machine on the network; the port changes with every call.
func addressOf(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	return host
}

// Rate bounds requests: so many at once, and so many a second in the long run.
type Rate struct {
	AtOnce    float64
	PerSecond float64
}

var (
	usualRate = Rate{AtOnce: 200, PerSecond: 50}
	strangers = Rate{AtOnce: 20, PerSecond: 0.2}
)

// mostBuckets are remembered: more are forgotten when they are full again, and
// all when even that does not help.
const mostBuckets = 10_000

// limiter counts requests by key. A bucket holds what may still be asked.
type limiter struct {
	rate Rate
	now  func() time.Time

	mutex   sync.Mutex
	buckets map[string]*bucket
}

type bucket struct {
	left float64
	at   time.Time
	rate Rate
}

func newLimiter(rate Rate, now func() time.Time) *limiter {
	if rate == (Rate{}) {
		rate = usualRate
	}
	return &limiter{rate: rate, now: now, buckets: map[string]*bucket{}}
}

func (b *bucket) fill(now time.Time) {
	if passed := now.Sub(b.at).Seconds(); passed > 0 {
		b.left = min(b.rate.AtOnce, b.left+passed*b.rate.PerSecond)
	}
	b.at = now
}

// take counts a request and returns 0, or how long to wait.
func (l *limiter) take(key string, rate Rate) time.Duration {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	now := l.now()
	b := l.buckets[key]
	if b == nil {
		if len(l.buckets) >= mostBuckets {
			l.forget(now)
		}
		b = &bucket{rate.AtOnce, now, rate}
		l.buckets[key] = b
	}
	b.fill(now)
	if b.left < 1 {
		return b.wait()
	}
	b.left--
	return 0
}

func (b *bucket) wait() time.Duration {
	return time.Duration((1 - b.left) / b.rate.PerSecond * float64(time.Second))
}

func (l *limiter) forget(now time.Time) {
	for key, b := range l.buckets {
		if b.fill(now); b.left >= b.rate.AtOnce {
			delete(l.buckets, key)
		}
	}
	if len(l.buckets) >= mostBuckets {
		clear(l.buckets)
	}
}
