package entry_test

import (
	"math/big"
	"testing"
	"time"

	"github.com/cockroachdb/apd/v3"
	"pgregory.net/rapid"

	"cotline/handover/entry"
)

// Rounded is half away from zero, once, with exactly the decimals asked for: held
// against exact fractions of the standard library.
func TestRounded(t *testing.T) {
	for _, c := range []struct {
		num, den int64
		decimals int32
		want     string
	}{
		{5, 1000, 2, "0.01"}, {-5, 1000, 2, "-0.01"}, {4999, 1000000, 2, "0.00"}, {-4999, 1000000, 2, "0.00"}, {15, 10, 0, "2"},
		{25, 10, 0, "3"}, {-25, 10, 0, "-3"},
		{2, 3, 2, "0.67"}, {1, 3, 1, "0.3"}, {93, 1, 2, "93.00"}, {0, 1, 1, "0.0"}, {7, 16, 2, "0.44"}, {125, 100, 1, "1.3"},
	} {
		got := entry.Rounded(entry.Quo(apd.New(c.num, 0), apd.New(c.den, 0)), c.decimals)
		if got.String() != c.want {
			t.Errorf("%d/%d to %d: %s, want %s", c.num, c.den, c.decimals, got, c.want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		num := rapid.Int64Range(-1_000_000, 1_000_000).Draw(t, "numerator")
		den := rapid.Int64Range(1, 100_000).Draw(t, "denominator")
		got := entry.Rounded(entry.Quo(apd.New(num, 0), apd.New(den, 0)), 2).String()
		want := big.NewRat(num, den).FloatString(2) // rounds half away from zero
		if want == "-0.00" {
			want = "0.00"
		}
		if got != want {
			t.Fatalf("%d/%d: %s, want %s", num, den, got, want)
		}
	})
}

// Comparing and subtracting charted numbers is exact, whatever their digits.
func TestDecimalArithmetic(t *testing.T) {
	number := rapid.Custom(func(t *rapid.T) entry.Decimal {
		units, scale := rapid.Int64Range(-10_000_000, 10_000_000).Draw(t, "units"), rapid.Int32Range(0, 4).Draw(t, "scale")
		return entry.Rounded(apd.New(units, -scale), scale)
	})
	rat := func(d entry.Decimal) *big.Rat {
		r, ok := new(big.Rat).SetString(d.String())
		if !ok {
			t.Fatal(d)
		}
		return r
	}
	rapid.Check(t, func(t *rapid.T) {
		a, b := number.Draw(t, "a"), number.Draw(t, "b")
		if got, want := a.Cmp(b), rat(a).Cmp(rat(b)); got != want {
			t.Fatalf("%s compared with %s: %d, want %d", a, b, got, want)
		}
		if got, want := rat(a.Sub(b)), new(big.Rat).Sub(rat(a), rat(b)); got.Cmp(want) != 0 {
			t.Fatalf("%s - %s: %v", a, b, got)
		}
		if a.Abs().Cmp(entry.Int(0)) < 0 || a.IsZero() != (rat(a).Sign() == 0) {
			t.Fatalf("sign of %s", a)
		}
		if again, err := entry.ParseDecimal(a.String()); err != nil || again != a {
			t.Fatalf("%s reads back as %v %v", a, again, err)
		}
	})
}

// Civil days agree with the calendar of the standard library, leap days and
// centuries too.
func TestCivilDays(t *testing.T) {
	zone, err := time.LoadLocation("Europe/Dublin")
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		at := time.Unix(rapid.Int64Range(-2_000_000_000, 30_000_000_000).Draw(t, "second"), 0)
		n := rapid.IntRange(-4000, 4000).Draw(t, "days")
		d := entry.DateOf(at, zone)
		if got, want := d.String(), at.In(zone).Format(time.DateOnly); got != want {
			t.Fatalf("%s, want %s", got, want)
		}
		y, m, day := at.In(zone).Date()
		moved := d.Add(n)
		if want := time.Date(y, m, day+n, 0, 0, 0, 0, time.UTC).Format(time.DateOnly); moved.String() != want || moved.Sub(d) != n ||
			moved.Before(d) != (n < 0) {
			t.Fatalf("%s + %d: %s, want %s", d, n, moved, want)
		}
		if again, err := entry.ParseDate(d.String()); err != nil || again != d {
			t.Fatalf("%s reads back as %s", d, again)
		}
		if start := d.Start(zone); entry.DateOf(start, zone) != d || entry.DateOf(start.Add(-1), zone) == d {
			t.Fatalf("%s starts %s", d, start)
		}
	})
}

// A day starts at its first instant, where a clock change skips midnight too
// (IANA time zone database: Beirut, 27 March 2022; Santiago, 4 September 2022).
func TestDayWithoutMidnight(t *testing.T) {
	for _, c := range []struct{ zone, day, want string }{
		{"Asia/Beirut", "2022-03-27", "2022-03-27T01:00:00+03:00"},
		{"America/Santiago", "2022-09-11", "2022-09-11T01:00:00-03:00"},
		{"America/Santiago", "2022-04-03", "2022-04-03T00:00:00-04:00"}, // the evening before came twice
		{"America/Havana", "2022-11-06", "2022-11-06T00:00:00-04:00"},   // midnight itself comes twice: the first
		{"Pacific/Apia", "2011-12-31", "2011-12-31T00:00:00+14:00"},     // the day before was left out
		{"Europe/Dublin", "2026-10-25", "2026-10-25T00:00:00+01:00"},
		{"Europe/Dublin", "2026-10-26", "2026-10-26T00:00:00+00:00"},
	} {
		zone, err := time.LoadLocation(c.zone)
		if err != nil {
			t.Fatal(err)
		}
		d, err := entry.ParseDate(c.day)
		if err != nil {
			t.Fatal(err)
		}
		if got := entry.Stamp(d.Start(zone), zone); got != c.want {
			t.Errorf("%s starts %s, want %s", c.zone, got, c.want)
		}
	}
}

func TestEvery(t *testing.T) {
	for text, want := range map[string]string{
		"90m": "1h30m", "4h": "4h", "1h30m": "1h30m", "7d": "7d", "1d12h": "1d12h", "36h": "1d12h", "none": "none", "365d": "365d",
	} {
		e, err := entry.ParseEvery(text)
		if err != nil || e.String() != want {
			t.Errorf("%s: %s %v, want %s", text, e, err, want)
		}
		if again, err := entry.ParseEvery(e.String()); err != nil || again != e {
			t.Errorf("%s reads back as %s", e, again)
		}
	}
	for _, text := range []string{"", "0m", "4", "h", "-4h", "4h ", "1.5h", "366d", "30m1h", "4hours", "policy"} {
		if e, err := entry.ParseEvery(text); err == nil {
			t.Errorf("%q is taken as %s", text, e)
		}
	}
	for text, days := range map[string]int{"1m": 1, "24h": 1, "1d": 1, "25h": 2, "7d": 7} {
		if e, _ := entry.ParseEvery(text); e.Days() != days {
			t.Errorf("%s: %d days", text, e.Days())
		}
	}
}
