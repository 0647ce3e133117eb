package api

import (
	"bufio"
	std "context"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/shop"
	"pumpwright/rebuild/record"
)

const (
	servedFolder = "PUMPWRIGHT_TEST_SERVE" // a server of its own for the folder
	manyKills    = "PUMPWRIGHT_TEST_KILLS" // more of them than in the sample
)

func TestMain(m *testing.M) {
	if folder := os.Getenv(servedFolder); folder != "" {
		fmt.Fprintln(os.Stderr, serveFolder(folder))
		os.Exit(1)
	}
	os.Exit(m.Run())
}

// serveFolder serves a shop until it is killed, and prints where.
func serveFolder(folder string) error {
	s, err := shop.OpenFolder(std.Background(), folder, shop.Options{})
	if err != nil {
		return err
	}
	programs, err := New(Config{Shop: s, Rate: Rate{AtOnce: 1e6, PerSecond: 1e6}})
	if err != nil {
		return err
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return err
	}
	fmt.Println("http://" + l.Addr().String())
	return http.Serve(l, programs)
}

// The server is killed without warning while programs write. What it had
// acknowledged is there, once; what it had not is sent again with the same id
// and is there once too; and the chain is whole.
func TestKilled(t *testing.T) {
	kills := 6
	if n, err := strconv.Atoi(os.Getenv(manyKills)); err == nil {
		kills = n
	}
	ctx, folder := std.Background(), t.TempDir()
	s, err := shop.OpenFolder(ctx, folder, shop.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.SetUpShop(ctx, shop.SetUp{Shop: "Test Dock (invented)", Person: "ada", Name: "Ada Fell", Password: "loud kettle on the quay"}); err != nil {
		t.Fatal(err)
	}
	secret, _, err := s.AddTokenHere(ctx, "killer", "ada", []access.Grant{access.GrantRead, access.GrantEnter}, 0)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(1, 8))
	const writers = 4
	var pending [writers]string // body that was not acknowledged yet
	acknowledged := map[string]string{}
	var mutex sync.Mutex
	next := 0
	for kill := range kills + 1 {
		server := startServer(t, folder)
		if kill == 0 {
			if status, said := post(server.address+Root+"/jobs", secret, `{"job":"J-1","tag":"P-1"}`); status != 201 {
				t.Fatalf("status %d: %s", status, said)
			}
		}
		stop := make(chan struct{})
		var writing sync.WaitGroup
		for w := range writers {
			writing.Go(func() {
				for {
					mutex.Lock()
					if pending[w] == "" {
						select {
						case <-stop:
							mutex.Unlock()
							return
						default:
						}
						next++
						pending[w] = text(map[string]any{"id": id(next), "kind": "note", "at": "2026-09-01T08:00:00Z", "body": map[string]any{"text": fmt.Sprint("note ", next)}})
					}
					body := pending[w]
					mutex.Unlock()
					status, said := post(server.address+Root+"/jobs/J-1/entries", secret, body)
					if status == 0 {
						return // killed: sent again to the next one
					}
					if status != 200 && status != 201 {
						t.Errorf("status %d: %s", status, said)
						return
					}
					mutex.Lock()
					acknowledged[body] = body
					pending[w] = ""
					mutex.Unlock()
				}
			})
		}
		if kill == kills { // the last one may finish
			close(stop)
			writing.Wait()
			server.kill(t)
			break
		}
		time.Sleep(time.Duration(20+random.IntN(180)) * time.Millisecond)
		server.kill(t)
		close(stop)
		writing.Wait()
	}
	s, err = shop.OpenFolder(ctx, folder, shop.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if damage, err := s.Check(ctx); err != nil || len(damage) > 0 {
		t.Errorf("after the kills: %v %v", damage, err)
	}
	scope, err := s.OpenToken(ctx, secret)
	if err != nil {
		t.Fatal(err)
	}
	j, err := s.Job(ctx, scope, "J-1")
	if err != nil {
		t.Fatal(err)
	}
	count, prev := map[string]int{}, ""
	for i := range j.Entries {
		e := &j.Entries[i]
		if e.Seq != int64(i+1) || e.Prev != prev || e.ComputeHash() != e.Hash {
			t.Fatalf("the chain is broken at entry %d", i+1)
		}
		prev = e.Hash
		count[e.ID]++
	}
	for body := range acknowledged {
		var sent record.Entry
		if err := json.Unmarshal([]byte(strings.Replace(body, `"at":"2026-09-01T08:00:00Z",`, "", 1)), &sent); err != nil {
			t.Fatal(err)
		}
		if count[sent.ID] != 1 {
			t.Errorf("%s was acknowledged and is there %d times", sent.ID, count[sent.ID])
		}
	}
	if len(acknowledged) < kills || len(acknowledged) != next {
		t.Errorf("%d entries were begun, %d acknowledged", next, len(acknowledged))
	}
	t.Logf("%d kills, %d entries acknowledged", kills, len(acknowledged))
}

type killable struct {
	command *exec.Cmd
	address string
}

func startServer(t *testing.T, folder string) killable {
	t.Helper()
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command(program)
	c.Env = append(os.Environ(), servedFolder+"="+folder)
	c.Stderr = os.Stderr
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	return killable{c, strings.TrimSpace(line)}
}

func (k killable) kill(t *testing.T) {
	t.Helper()
	if err := k.command.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = k.command.Wait() // it says that it was killed
}

// post gives status 0 when no whole answer came.
func post(address, secret, body string) (status int, said string) {
	r, err := http.NewRequest(http.MethodPost, address, strings.NewReader(body))
	if err != nil {
		return 0, err.Error()
	}
	r.Header.Set("Authorization", "Bearer "+secret)
	r.Header.Set("Content-Type", "application/json")
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		return 0, err.Error()
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		return 0, err.Error()
	}
	return answer.StatusCode, string(text)
}
