package transfer

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"testing"

	"pumpwright/app/shop"
	"pumpwright/app/store/storetest"
)

func open(t *testing.T, h shop.Home) *shop.Shop {
	t.Helper()
	s, err := h.Open(t.Context(), shop.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	return s
}

func aPhoto(t *testing.T) []byte {
	t.Helper()
	picture := image.NewRGBA(image.Rect(0, 0, 900, 600))
	for x := range 900 {
		for y := range 600 {
			picture.Set(x, y, color.RGBA{uint8(x), uint8(y), 90, 255})
		}
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, picture, nil); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func listed(t *testing.T, s *shop.Shop) string {
	t.Helper()
	h, err := s.Holdings(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	names, err := h.StreamNames()
	if err != nil {
		t.Fatal(err)
	}
	text := ""
	for _, name := range names {
		stream, err := h.Stream(name)
		if err != nil {
			t.Fatal(err)
		}
		text += fmt.Sprintln(name, len(stream.Entries), stream.Head())
	}
	return text
}

// A whole shop moves to PostgreSQL and back: as an archive, and as it lies.
func TestWholeShopMoves(t *testing.T) {
	ctx := t.Context()
	first := shop.Home{Folder: t.TempDir()}
	s := open(t, first)
	if err := s.LoadDemo(ctx); err != nil {
		t.Fatal(err)
	}
	lead, err := s.DemoScope(ctx, "tomas")
	if err != nil {
		t.Fatal(err)
	}
	photo, err := s.AddPhoto(ctx, lead, "J-2063", shop.NewPhoto{Content: bytes.NewReader(aPhoto(t))})
	if err != nil {
		t.Fatal(err)
	}
	hash := photo.Job.State.Photos[len(photo.Job.State.Photos)-1].Body.Blob
	want := listed(t, s)
	server := storetest.Postgres(t)
	homes := []shop.Home{
		{Folder: t.TempDir(), Database: storetest.NewDatabase(t, server)},
		{Folder: t.TempDir()},
	}
	from := s
	for i, home := range homes {
		holdings, err := from.Holdings(ctx)
		if err != nil {
			t.Fatal(err)
		}
		var file bytes.Buffer
		if _, err := WriteArchive(&file, holdings, "", 1); err != nil {
			t.Fatal(err)
		}
		a, err := ReadArchive(bytes.NewReader(file.Bytes()), int64(file.Len()))
		if err != nil {
			t.Fatal(err)
		}
		to := open(t, home)
		target, err := to.Holdings(ctx)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := a.Restore(target); err != nil {
			t.Fatal(err)
		}
		if got := listed(t, to); got != want {
			t.Fatalf("archive %d: another shop arrived:\n%s\nwant\n%s", i, got, want)
		}
		if damage, err := to.Check(ctx); err != nil || len(damage) > 0 {
			t.Fatalf("archive %d: %v %v", i, damage, err)
		}
		arrived := lead
		arrived.Site = "main"
		for _, small := range []bool{false, true} {
			f, err := to.File(ctx, arrived, "J-2063", hash, small)
			if err != nil {
				t.Fatalf("archive %d: small %v: %v", i, small, err)
			}
			if err := f.Content.Close(); err != nil {
				t.Error(err)
			}
		}
		from = to
	}
	there := shop.Home{Folder: t.TempDir(), Database: storetest.NewDatabase(t, server)}
	back := shop.Home{Folder: t.TempDir()}
	for _, move := range [][2]shop.Home{{first, there}, {there, back}} {
		if err := shop.Move(ctx, move[0], move[1]); err != nil {
			t.Fatal(err)
		}
	}
	again := open(t, back)
	if got := listed(t, again); got != want {
		t.Errorf("another shop came back:\n%s\nwant\n%s", got, want)
	}
	if err := shop.Move(ctx, first, back); err == nil {
		t.Error("a shop was written over")
	}
}
