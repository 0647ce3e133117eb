package store_test

import (
	"bytes"
	"context"
	"io"
	"path/filepath"
	"strings"
	"testing"

	"pumpwright/app/store"
	"pumpwright/app/store/bucket"
	"pumpwright/app/store/storetest"
	"pumpwright/calc/say"
)

func openPlace(t testing.TB, p store.Place) *store.DB {
	t.Helper()
	db, err := store.Open(t.Context(), p)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := db.Close(); err != nil {
			t.Error(err)
		}
	})
	return db
}

// Photos lie in a folder, in the database or in a bucket: the same suite.
func TestWherePhotosLie(t *testing.T) {
	objects := storetest.NewBucket(t)
	places := map[string]func(*testing.T, store.Place) store.Place{
		"the folder": func(_ *testing.T, p store.Place) store.Place { return p },
		"another folder": func(t *testing.T, p store.Place) store.Place {
			p.Photos = filepath.Join(t.TempDir(), "photos")
			return p
		},
		"the database": func(_ *testing.T, p store.Place) store.Place { p.Photos = store.InDatabase; return p },
		"a bucket": func(t *testing.T, p store.Place) store.Place {
			server := storetest.NewBucket(t)
			p.Photos, p.Key = server.Address(), server.Key()
			return p
		},
	}
	for name, place := range places {
		t.Run("SQLite, "+name, func(t *testing.T) {
			storetest.RunPhotos(t, func(t *testing.T) store.Store { return openPlace(t, place(t, store.Place{Folder: t.TempDir()})) })
		})
		t.Run("backup, "+name, func(t *testing.T) { backUpPhotos(t, openPlace(t, place(t, store.Place{Folder: t.TempDir()}))) })
	}
	t.Run("PostgreSQL", func(t *testing.T) {
		server := storetest.Postgres(t)
		for name, place := range places {
			if name == "the folder" {
				continue // the whole suite runs with it
			}
			t.Run(name, func(t *testing.T) {
				storetest.RunPhotos(t, func(t *testing.T) store.Store {
					return openPlace(t, place(t, store.Place{Database: storetest.NewDatabase(t, server)}))
				})
			})
		}
		t.Run("only a database", func(t *testing.T) {
			one := openPlace(t, store.Place{Database: storetest.NewDatabase(t, server)})
			keepPhoto(t, one)
			two := openPlace(t, store.Place{Folder: t.TempDir(), Photos: objects.Address(), Key: objects.Key()})
			if err := store.Copy(t.Context(), one, two); err != nil {
				t.Fatal(err)
			}
			three := openPlace(t, store.Place{Folder: t.TempDir(), Photos: store.InDatabase})
			if err := store.Copy(t.Context(), two, three); err != nil {
				t.Fatal(err)
			}
			for _, db := range []*store.DB{one, two, three} {
				readPhoto(t, db)
			}
		})
	})
}

var photo = bytes.Repeat([]byte("a picture "), 1000)

func keepPhoto(t *testing.T, db *store.DB) {
	t.Helper()
	if err := db.AddSite(t.Context(), store.Site{ID: "a", Name: "A"}); err != nil {
		t.Fatal(err)
	}
	if _, err := db.PutBlob(t.Context(), "a", store.Blob{Media: "image/jpeg"}, photo); err != nil {
		t.Fatal(err)
	}
}

func readPhoto(t *testing.T, db *store.DB) {
	t.Helper()
	_, content, err := db.OpenBlob(t.Context(), "a", store.HashOf(photo))
	if err != nil {
		t.Fatal(err)
	}
	defer content.Close()
	if got, err := io.ReadAll(content); err != nil || !bytes.Equal(got, photo) {
		t.Errorf("%d bytes come back, %d were kept: %v", len(got), len(photo), err)
	}
	if _, err := content.Seek(2, io.SeekStart); err != nil {
		t.Error(err)
	}
	if damage, err := db.Check(t.Context()); err != nil || len(damage) > 0 {
		t.Error(damage, err)
	}
}

// A backup holds the photos wherever they lay, and gives them back as a folder
// or a database that can be served.
func backUpPhotos(t *testing.T, db *store.DB) {
	keepPhoto(t, db)
	file, err := db.Backup(t.Context(), t.TempDir(), 1)
	if err != nil {
		t.Fatal(err)
	}
	folder := filepath.Join(t.TempDir(), "again")
	if err := store.Restore(t.Context(), file, folder); err != nil {
		t.Fatal(err)
	}
	readPhoto(t, openPlace(t, store.Place{Folder: folder}))
}

// A bucket whose contents change, or whose key may not write, is found out.
func TestBucketFails(t *testing.T) {
	objects := storetest.NewBucket(t)
	db := openPlace(t, store.Place{Folder: t.TempDir(), Photos: objects.Address(), Key: objects.Key()})
	if objects.Count() != 0 {
		t.Errorf("trying it left %d contents behind", objects.Count())
	}
	keepPhoto(t, db)
	objects.Spoil()
	if damage, err := db.Check(t.Context()); err != nil || len(damage) != 1 || !strings.Contains(damage[0].Message.String(), "was changed") {
		t.Errorf("a spoiled content gives %v %v", damage, err)
	}
	bad := store.Place{Folder: t.TempDir(), Photos: objects.Address(), Key: bucket.Key{ID: "BENCHKEY", Secret: "another secret"}}
	if _, err := store.Open(context.Background(), bad); say.AsProblem(err) == nil || strings.Contains(err.Error(), "another secret") {
		t.Errorf("a key that does not fit gives %v", err)
	}
}
