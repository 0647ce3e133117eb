package transfer

import (
	"bytes"
	"compress/gzip"
	"io"
	"os"
	"path/filepath"
	"testing"

	"pumpwright/app/access"
	"pumpwright/app/shop"
	"pumpwright/app/store"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

// What earlier versions wrote lies in testdata, one folder for each form. The
// files never change again: whoever changes a form adds a folder.
var keptForms = []string{"v1"}

func keptFile(t *testing.T, form, name string) []byte {
	t.Helper()
	content, err := os.ReadFile(filepath.Join("testdata", form, name))
	if err != nil {
		t.Fatal(err)
	}
	if filepath.Ext(name) != ".gz" {
		return content
	}
	z, err := gzip.NewReader(bytes.NewReader(content))
	if err != nil {
		t.Fatal(err)
	}
	if content, err = io.ReadAll(z); err != nil {
		t.Fatal(err)
	}
	return content
}

// Every database, archive and job file of an earlier version opens in this one,
// with every entry, place and hash as it was, and its jobs can be read.
func TestKeptForms(t *testing.T) {
	for _, form := range keptForms {
		want := string(keptFile(t, form, "heads.txt"))
		t.Run(form+" database", func(t *testing.T) {
			home := shop.Home{Folder: t.TempDir()}
			if err := os.WriteFile(filepath.Join(home.Folder, store.FileName), keptFile(t, form, "pumpwright.db.gz"), 0o600); err != nil {
				t.Fatal(err)
			}
			s := open(t, home)
			if damage, err := s.Check(t.Context()); err != nil || len(damage) > 0 {
				t.Fatalf("%v %v", damage, err)
			}
			if got := listed(t, s); got != want {
				t.Errorf("another shop:\n%s\nwant\n%s", got, want)
			}
			readable(t, s, "demo")
		})
		t.Run(form+" backup", func(t *testing.T) {
			backup := filepath.Join(t.TempDir(), "pumpwright-2026-11-25.db")
			if err := os.WriteFile(backup, keptFile(t, form, "pumpwright.db.gz"), 0o600); err != nil {
				t.Fatal(err)
			}
			home := shop.Home{Folder: filepath.Join(t.TempDir(), "again")}
			if err := shop.Restore(t.Context(), backup, home.Folder); err != nil {
				t.Fatal(err)
			}
			if got := listed(t, open(t, home)); got != want {
				t.Errorf("another shop:\n%s\nwant\n%s", got, want)
			}
		})
		t.Run(form+" archive", func(t *testing.T) {
			content := keptFile(t, form, "shop.zip")
			a, err := ReadArchive(bytes.NewReader(content), int64(len(content)))
			if err != nil {
				t.Fatal(err)
			}
			s := open(t, shop.Home{Folder: t.TempDir()})
			holdings, err := s.Holdings(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			if _, err := a.Restore(holdings); err != nil {
				t.Fatal(err)
			}
			if got := listed(t, s); got != want {
				t.Errorf("another shop:\n%s\nwant\n%s", got, want)
			}
			readable(t, s, "main")
		})
		t.Run(form+" job file", func(t *testing.T) {
			stream, faults, err := record.Read(bytes.NewReader(keptFile(t, form, "J-2041.jsonl")))
			if err != nil || len(faults) > 0 || len(stream.Entries) == 0 {
				t.Fatalf("%v %v", faults, err)
			}
			if state := job.Fold(stream); state.Open == nil || state.Closed == nil {
				t.Error("the job was opened and closed; it no longer reads so")
			}
		})
	}
}

// readable: the jobs are listed, and what each means can be told.
func readable(t *testing.T, s *shop.Shop, site string) {
	t.Helper()
	lead := shop.Scope{Site: site, Person: "odell", Roles: []access.Role{access.Lead}}
	groups, err := s.Jobs(t.Context(), lead, shop.JobQuery{})
	if err != nil {
		t.Fatal(err)
	}
	names := []string{"J-2041"} // closed: not among those that wait
	for _, g := range groups {
		for _, row := range g.Rows {
			names = append(names, row.Job)
		}
	}
	if len(names) != 3 {
		t.Errorf("the jobs are %v", names)
	}
	for _, name := range names {
		if j, err := s.Job(t.Context(), lead, name); err != nil || j.Assessment == nil {
			t.Errorf("%s: %v %v", name, err, j)
		}
	}
}
