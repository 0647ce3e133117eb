package quantity

import (
	"testing"

	"pgregory.net/rapid"
)

func TestReadMoney(t *testing.T) {
	cases := []struct {
		text     string
		parts    int64
		currency string
		shown    string
	}{
		{"12.50", 125000, "", "12.50"},
		{"12,50 €", 125000, "€", "12.50 €"},
		{"EUR 1,250.00", 12500000, "EUR", "1250.00 EUR"},
		{"$3", 30000, "$", "3.00 $"},
		{"0.0125 USD", 125, "USD", "0.0125 USD"},
		{"-4.2", -42000, "", "-4.20"},
		{"- 4.2 kr", -42000, "kr", "-4.20 kr"},
	}
	for _, c := range cases {
		m, err := ReadMoney(c.text)
		if err != nil || m.Parts != c.parts || m.Currency != c.currency || m.String() != c.shown {
			t.Errorf("%q: got %+v %q (%v)", c.text, m, m, err)
		}
	}
	for _, text := range []string{"", "EUR", "1,250", "3 EUR/h 4", "EUR 3 USD", "1e300"} {
		if m, err := ReadMoney(text); err == nil {
			t.Errorf("%q was read as %v", text, m)
		}
	}
	if _, err := (Money{1, "EUR"}).Add(Money{1, "USD"}); err == nil {
		t.Error("two currencies were added")
	}
}

// Sums are exact whatever their order.
func TestMoneyAdds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := rapid.SliceOf(rapid.Int64Range(-1e9, 1e9)).Draw(t, "parts")
		var forward, backward Money
		for i := range list {
			forward, _ = forward.Add(Money{Parts: list[i]})
			backward, _ = backward.Add(Money{Parts: list[len(list)-1-i]})
		}
		if forward != backward {
			t.Fatalf("%v and %v", forward, backward)
		}
		back, err := ReadMoney(forward.String())
		if err != nil || back != forward {
			t.Fatalf("%v came back as %v (%v)", forward, back, err)
		}
	})
}

func TestMoneyWhole(t *testing.T) {
	for parts, want := range map[int64]string{34535117: "3454.00 EUR", 34534999: "3453.00 EUR", -15000: "-2.00 EUR", 0: "0.00 EUR"} {
		if got := (Money{Parts: parts, Currency: "EUR"}).Whole().String(); got != want {
			t.Errorf("%d parts: %q, want %q", parts, got, want)
		}
	}
}
