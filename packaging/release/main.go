// Command release builds everything that is handed out, from one command:
//
//	go run ./packaging/release -out dist
//
// Static programs for Linux, Windows and macOS, an archive of each, Debian
// packages and the roots of container images, and the sums of all. It fetches
// nothing but what go build needs, and the same source gives the same bytes.
package main

import (
	"crypto/sha256"
	"debug/buildinfo"
	"encoding/hex"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// target is a system and processor to build for.
type target struct{ system, processor string }

func (t target) String() string { return t.system + "-" + t.processor }

var targets = []target{{"linux", "amd64"}, {"linux", "arm64"}, {"windows", "amd64"}, {"darwin", "amd64"}, {"darwin", "arm64"}}

func main() {
	out := flag.String("out", "dist", "folder for what is built")
	only := flag.String("only", "", "build these targets alone, such as linux-amd64,windows-amd64")
	flag.Parse()
	if err := release(*out, *only); err != nil {
		fmt.Fprintln(os.Stderr, "release:", err)
		os.Exit(1)
	}
}

func release(out, only string) error {
	root, err := moduleRoot()
	if err != nil {
		return err
	}
	if err := os.MkdirAll(out, 0o755); err != nil {
		return err
	}
	chosen, err := choose(only)
	if err != nil {
		return err
	}
	at := commitTime(root)
	var made []string
	for _, t := range chosen {
		files, err := build(root, out, t, at)
		if err != nil {
			return fmt.Errorf("%s: %w", t, err)
		}
		for _, f := range files {
			fmt.Println(f)
		}
		made = append(made, files...)
	}
	return writeSums(out, made)
}

func choose(only string) ([]target, error) {
	if only == "" {
		return targets, nil
	}
	var chosen []target
	for name := range strings.SplitSeq(only, ",") {
		i := slices.IndexFunc(targets, func(t target) bool { return t.String() == name })
		if i < 0 {
			return nil, fmt.Errorf("there is no target %q; the targets are %v", name, targets)
		}
		chosen = append(chosen, targets[i])
	}
	return chosen, nil
}

// moduleRoot is the folder of go.mod.
func moduleRoot() (string, error) {
	path, err := exec.Command("go", "env", "GOMOD").Output()
	if err != nil {
		return "", fmt.Errorf("go env: %w", err)
	}
	return filepath.Dir(strings.TrimSpace(string(path))), nil
}

// commitTime dates what is built: by the last commit, so that the same source
// gives the same bytes; at the epoch outside of a repository.
func commitTime(root string) time.Time {
	command := exec.Command("git", "log", "-1", "--format=%cI")
	command.Dir = root
	text, err := command.Output()
	if err != nil {
		return time.Unix(0, 0).UTC()
	}
	at, err := time.Parse(time.RFC3339, strings.TrimSpace(string(text)))
	if err != nil {
		return time.Unix(0, 0).UTC()
	}
	return at.UTC()
}

// build makes what is handed out for one target.
func build(root, out string, t target, at time.Time) ([]string, error) {
	folder, err := os.MkdirTemp("", "release")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder)
	program := "pumpwright"
	if t.system == "windows" {
		program += ".exe"
	}
	binary := filepath.Join(folder, program)
	command := exec.Command("go", "build", "-trimpath", "-ldflags", "-s -w", "-o", binary, "./cmd/pumpwright")
	command.Dir = root
	command.Env = append(os.Environ(), "CGO_ENABLED=0", "GOOS="+t.system, "GOARCH="+t.processor)
	command.Stderr = os.Stderr
	if err := command.Run(); err != nil {
		return nil, err
	}
	version, err := versionOf(binary)
	if err != nil {
		return nil, err
	}
	content, err := os.ReadFile(binary)
	if err != nil {
		return nil, err
	}
	texts, err := read(root, "LICENSE", "README.md", "packaging/files/pumpwright.service", "packaging/files/default",
		"packaging/files/sysusers.conf", "packaging/files/postinst", "packaging/files/prerm", "packaging/files/Containerfile")
	if err != nil {
		return nil, err
	}
	name := "pumpwright-" + version + "-" + t.String()
	list := []item{{name + "/" + program, 0o755, content}, {name + "/LICENSE", 0o644, texts["LICENSE"]}, {name + "/README.md", 0o644, texts["README.md"]}}
	var made []string
	write := func(file string, content []byte, err error) error {
		if err == nil {
			err = os.WriteFile(filepath.Join(out, file), content, 0o644)
		}
		if err == nil {
			made = append(made, file)
		}
		return err
	}
	if t.system == "windows" {
		packed, err := zipped(list, at)
		err = write(name+".zip", packed, err)
		return made, err
	}
	packed, err := tarred(list, at, true)
	if err := write(name+".tar.gz", packed, err); err != nil || t.system != "linux" {
		return made, err
	}
	deb, err := debian(version, t.processor, content, texts, at)
	if err := write("pumpwright_"+debianVersion(version)+"_"+t.processor+".deb", deb, err); err != nil {
		return made, err
	}
	container, err := tarred(containerRoot(content, texts["LICENSE"]), at, false)
	if err := write("root-"+t.processor+".tar", container, err); err != nil {
		return made, err
	}
	err = write("Containerfile", texts["packaging/files/Containerfile"], nil)
	return made, err
}

// versionOf reads the version that the program itself will print.
func versionOf(binary string) (string, error) {
	info, err := buildinfo.ReadFile(binary)
	if err != nil {
		return "", err
	}
	if v := info.Main.Version; v != "" && v != "(devel)" {
		return v, nil
	}
	return "devel", nil
}

func read(root string, names ...string) (map[string][]byte, error) {
	texts := map[string][]byte{}
	for _, name := range names {
		text, err := os.ReadFile(filepath.Join(root, name))
		if err != nil {
			return nil, err
		}
		texts[name] = text
	}
	return texts, nil
}

// writeSums writes the SHA-256 of every file, as sha256sum -c reads it.
func writeSums(out string, made []string) error {
	slices.Sort(made)
	var b strings.Builder
	for _, name := range slices.Compact(made) {
		content, err := os.ReadFile(filepath.Join(out, name))
		if err != nil {
			return err
		}
		sum := sha256.Sum256(content)
		fmt.Fprintf(&b, "%s  %s\n", hex.EncodeToString(sum[:]), name)
	}
	return os.WriteFile(filepath.Join(out, "SHA256SUMS"), []byte(b.String()), 0o644)
}
