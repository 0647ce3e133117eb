package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

var commit = time.Date(2026, 9, 1, 8, 0, 0, 0, time.UTC)

func texts(t *testing.T) map[string][]byte {
	t.Helper()
	list, err := read("../..", "LICENSE", "README.md", "packaging/files/pumpwright.service", "packaging/files/default",
		"packaging/files/sysusers.conf", "packaging/files/postinst", "packaging/files/prerm", "packaging/files/Containerfile")
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// The package is one that Debian's own tool reads, and comes out the same twice.
func TestDebian(t *testing.T) {
	program := []byte("#!/bin/sh\necho hello\n")
	deb, err := debian("v1.2.3-rc1", "amd64", program, texts(t), commit)
	if err != nil {
		t.Fatal(err)
	}
	again, err := debian("v1.2.3-rc1", "amd64", program, texts(t), commit)
	if err != nil || !bytes.Equal(deb, again) {
		t.Errorf("the same source gave other bytes: %v", err)
	}
	tool, err := exec.LookPath("dpkg-deb")
	if err != nil {
		t.Skip("dpkg-deb is not here: the package was made, nobody read it")
	}
	folder := t.TempDir()
	file := filepath.Join(folder, "p.deb")
	if err := os.WriteFile(file, deb, 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args []string
		says string
	}{
		{[]string{"--field", file, "Version"}, "1.2.3~rc1"},
		{[]string{"--contents", file}, "./usr/lib/systemd/system/pumpwright.service"},
		{[]string{"--info", file}, "conffiles"},
		{[]string{"--extract", file, filepath.Join(folder, "out")}, ""},
	} {
		said, err := exec.Command(tool, c.args...).CombinedOutput()
		if err != nil || !strings.Contains(string(said), c.says) {
			t.Errorf("%v: %v\n%s", c.args, err, said)
		}
	}
	if said, err := exec.Command(filepath.Join(folder, "out", "usr", "bin", "pumpwright")).Output(); err != nil || string(said) != "hello\n" {
		t.Errorf("the program in the package: %v %q", err, said)
	}
}

// The unit is one that systemd takes, where there is systemd.
func TestUnit(t *testing.T) {
	tool, err := exec.LookPath("systemd-analyze")
	if err != nil {
		t.Skip("systemd-analyze is not here: the unit was not checked")
	}
	said, err := exec.Command(tool, "verify", "--man=no", "../files/pumpwright.service").CombinedOutput()
	for line := range strings.Lines(string(said)) {
		if strings.Contains(line, "pumpwright.service") && !strings.Contains(line, "not executable") && !strings.Contains(line, "is not a") {
			t.Errorf("%v: %s", err, line)
		}
	}
}

// The scripts of the package are ones that the shell reads.
func TestScripts(t *testing.T) {
	for _, name := range []string{"postinst", "prerm"} {
		if said, err := exec.Command("sh", "-n", "../files/"+name).CombinedOutput(); err != nil {
			t.Errorf("%s: %v %s", name, err, said)
		}
	}
}
