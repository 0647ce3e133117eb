package shop

import "testing"

// What is called as was typed comes before what only speaks of it.
func TestRank(t *testing.T) {
	hits := []Hit{
		{Kind: "note", Name: "J-9", Text: "seal from KQ-0187 used here"},
		{Kind: "job", Name: "KQ-01"},
		{Kind: "finding", Name: "J-8"},
		{Kind: kindPump, Name: "KQ-0187"},
		{Kind: "instrument", Name: "KQ-01-gauge"},
	}
	rank(hits, []string{"kq"})
	want := []string{"KQ-0187", "KQ-01", "KQ-01-gauge", "J-9", "J-8"}
	for i := range want {
		if hits[i].Name != want[i] {
			t.Fatalf("%d: %s, want %s: %+v", i, hits[i].Name, want[i], hits)
		}
	}
	s, _ := openDemo(t)
	found, err := s.Search(t.Context(), as(t, s, "ines"), "KQ-0187")
	if err != nil || len(found) == 0 || found[0].Kind != kindPump {
		t.Errorf("%+v %v", found, err)
	}
}
