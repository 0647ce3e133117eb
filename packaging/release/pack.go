package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"io/fs"
	"strings"
	"time"
)

// item is a file in an archive; a name that ends in a slash is a folder.
type item struct {
	name    string
	mode    fs.FileMode
	content []byte
}

// serviceUser owns the data in a container: a number that no system gives to
// people.
const serviceUser = 65532

func tarred(list []item, at time.Time, compressed bool) ([]byte, error) {
	var b bytes.Buffer
	var to io.Writer = &b
	var packer *gzip.Writer
	if compressed {
		packer = gzip.NewWriter(&b)
		to = packer
	}
	w := tar.NewWriter(to)
	for _, f := range list {
		h := &tar.Header{Name: f.name, Mode: int64(f.mode.Perm()), Size: int64(len(f.content)), ModTime: at, Format: tar.FormatUSTAR, Typeflag: tar.TypeReg}
		if f.mode&fs.ModeSticky != 0 {
			h.Mode |= 0o1000
		}
		if strings.HasSuffix(f.name, "/") {
			h.Typeflag = tar.TypeDir
		}
		if f.mode&owned != 0 {
			h.Uid, h.Gid = serviceUser, serviceUser
		}
		if err := w.WriteHeader(h); err != nil {
			return nil, err
		}
		if _, err := w.Write(f.content); err != nil {
			return nil, err
		}
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	if packer != nil {
		if err := packer.Close(); err != nil {
			return nil, err
		}
	}
	return b.Bytes(), nil
}

// owned marks what the user of the service owns.
const owned = fs.ModeIrregular

func zipped(list []item, at time.Time) ([]byte, error) {
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, f := range list {
		h := &zip.FileHeader{Name: f.name, Method: zip.Deflate, Modified: at}
		h.SetMode(f.mode)
		to, err := w.CreateHeader(h)
		if err != nil {
			return nil, err
		}
		if _, err := to.Write(f.content); err != nil {
			return nil, err
		}
	}
	err := w.Close()
	return b.Bytes(), err
}

// containerRoot is all that a container holds.
func containerRoot(program, license []byte) []item {
	return []item{
		{"usr/", 0o755, nil}, {"usr/bin/", 0o755, nil}, {"usr/bin/pumpwright", 0o755, program},
		{"usr/share/", 0o755, nil}, {"usr/share/doc/", 0o755, nil}, {"usr/share/doc/pumpwright/", 0o755, nil}, {"usr/share/doc/pumpwright/copyright", 0o644, license},
		{"etc/", 0o755, nil}, {"etc/passwd", 0o644, fmt.Appendf(nil, "pumpwright:x:%d:%d::/data:/\n", serviceUser, serviceUser)},
		{"data/", 0o750 | owned, nil}, {"tmp/", 0o777 | fs.ModeSticky, nil},
	}
}

// debianVersion begins with a digit and has no hyphen, which would part off a
// revision.
func debianVersion(version string) string {
	v := strings.ReplaceAll(strings.TrimPrefix(version, "v"), "-", "~")
	if v == "" || v[0] < '0' || v[0] > '9' {
		return "0~" + v
	}
	return v
}

// debian makes a package: an ar archive of a version, the control files and
// the data (deb(5)).
func debian(version, processor string, program []byte, texts map[string][]byte, at time.Time) ([]byte, error) {
	data := []item{
		{"./", 0o755, nil}, {"./etc/", 0o755, nil}, {"./etc/default/", 0o755, nil}, {"./etc/default/pumpwright", 0o644, texts["packaging/files/default"]},
		{"./usr/", 0o755, nil}, {"./usr/bin/", 0o755, nil}, {"./usr/bin/pumpwright", 0o755, program},
		{"./usr/lib/", 0o755, nil}, {"./usr/lib/systemd/", 0o755, nil}, {"./usr/lib/systemd/system/", 0o755, nil},
		{"./usr/lib/systemd/system/pumpwright.service", 0o644, texts["packaging/files/pumpwright.service"]},
		{"./usr/lib/sysusers.d/", 0o755, nil}, {"./usr/lib/sysusers.d/pumpwright.conf", 0o644, texts["packaging/files/sysusers.conf"]},
		{"./usr/share/", 0o755, nil}, {"./usr/share/doc/", 0o755, nil}, {"./usr/share/doc/pumpwright/", 0o755, nil},
		{"./usr/share/doc/pumpwright/copyright", 0o644, texts["LICENSE"]}, {"./usr/share/doc/pumpwright/README.md", 0o644, texts["README.md"]},
	}
	size := 0
	for _, f := range data {
		size += (len(f.content) + 1023) / 1024
	}
	control := fmt.Sprintf(`Package: pumpwright
Version: %s
Architecture: %s
Maintainer: Pumpwright maintainers <pumpwright@localhost>
Installed-Size: %d
Section: misc
Priority: optional
Description: bench companion for rebuilding crescent internal gear pumps
 It takes down what is measured at the bench, computes clearances, gaskets,
 fits, slip and life from it, and keeps the record of each job. The server
 runs as its own user and keeps its data in /var/lib/pumpwright.
`, debianVersion(version), processor, size)
	controls, err := tarred([]item{
		{"./", 0o755, nil}, {"./control", 0o644, []byte(control)}, {"./conffiles", 0o644, []byte("/etc/default/pumpwright\n")},
		{"./postinst", 0o755, texts["packaging/files/postinst"]}, {"./prerm", 0o755, texts["packaging/files/prerm"]},
	}, at, true)
	if err != nil {
		return nil, err
	}
	packed, err := tarred(data, at, true)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	b.WriteString("!<arch>\n")
	for _, member := range []item{{"debian-binary", 0, []byte("2.0\n")}, {"control.tar.gz", 0, controls}, {"data.tar.gz", 0, packed}} {
		fmt.Fprintf(&b, "%-16s%-12d%-6d%-6d%-8s%-10d`\n", member.name, at.Unix(), 0, 0, "100644", len(member.content))
		b.Write(member.content)
		if len(member.content)%2 == 1 {
			b.WriteByte('\n')
		}
	}
	return b.Bytes(), nil
}
