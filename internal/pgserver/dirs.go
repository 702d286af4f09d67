//go:build unix

package pgserver

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// The folders of a private server: whose they are, where the socket lies, and what a crash may have left in them.

// maxSocketPath is the longest socket path in bytes that every system takes: sockaddr_un.sun_path holds 104 on BSD and macOS, 108 on
// Linux, each with its final zero.
const maxSocketPath = 103

// account is the user that the server runs as. The zero value is ourselves.
type account struct {
	other    bool
	name     string
	uid, gid int
}

// serverAccount is ourselves, or for root the user postgres or nobody.
func serverAccount() (account, error) {
	if os.Geteuid() != 0 {
		return account{}, nil
	}
	for _, name := range []string{"postgres", "nobody"} {
		u, err := user.Lookup(name)
		if err != nil {
			continue
		}
		uid, uidErr := strconv.Atoi(u.Uid)
		gid, gidErr := strconv.Atoi(u.Gid)
		if err := errors.Join(uidErr, gidErr); err != nil {
			return account{}, fmt.Errorf("user %s: %w", name, err)
		}
		return account{other: true, name: name, uid: uid, gid: gid}, nil
	}
	return account{}, errors.New("PostgreSQL does not run as root, and there is no user postgres or nobody to run it as: " +
		"make one, or start as an ordinary user")
}

// attributes put a child into a process group of its own, so that Ctrl-C in a terminal reaches us and not the server behind our back.
func (a account) attributes() *syscall.SysProcAttr {
	attr := &syscall.SysProcAttr{Setpgid: true}
	if a.other {
		attr.Credential = &syscall.Credential{Uid: uint32(a.uid), Gid: uint32(a.gid)}
	}
	return attr
}

// makeDataDir makes dir, and checks that the account can get there. Where the account is another one, dir stays ours and only the
// folders inside that the server writes to become its own.
func (a account) makeDataDir(dir string) error {
	if err := os.MkdirAll(filepath.Dir(dir), 0o755); err != nil {
		return err
	}
	mode := fs.FileMode(0o700)
	if a.other {
		mode = 0o711
	}
	if err := os.Mkdir(dir, mode); err != nil && !errors.Is(err, fs.ErrExist) {
		return err
	}
	if info, err := os.Stat(dir); err != nil {
		return err
	} else if !info.IsDir() {
		return fmt.Errorf("%s is not a directory", dir)
	}
	if !a.other {
		return nil
	}
	for ; ; dir = filepath.Dir(dir) {
		if err := a.canEnter(dir); err != nil {
			return err
		}
		if dir == filepath.Dir(dir) {
			return nil
		}
	}
}

// own makes dir for the account alone.
func (a account) own(dir string) error {
	if err := os.Mkdir(dir, 0o700); err != nil && !errors.Is(err, fs.ErrExist) {
		return err
	}
	if !a.other {
		return nil
	}
	return os.Chown(dir, a.uid, a.gid)
}

func (a account) canEnter(dir string) error {
	info, err := os.Stat(dir)
	if err != nil {
		return err
	}
	mode := info.Mode().Perm()
	var ok bool
	switch st := info.Sys().(*syscall.Stat_t); {
	case int(st.Uid) == a.uid:
		ok = mode&0o100 != 0
	case int(st.Gid) == a.gid:
		ok = mode&0o010 != 0
	default:
		ok = mode&0o001 != 0
	}
	if !ok {
		return fmt.Errorf("PostgreSQL does not run as root, and the user %s, which it runs as instead, cannot enter %s: "+
			"give a data folder elsewhere, for example under /var/lib", a.name, dir)
	}
	return nil
}

// lockDataDir makes sure that one process at a time runs a server on dir. The lock ends with the process, however it ends.
func lockDataDir(dir string) (*os.File, error) {
	lock, err := os.OpenFile(filepath.Join(dir, "lock"), os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, err
	}
	if err := syscall.Flock(int(lock.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		owner := "another process"
		if text, readErr := os.ReadFile(lock.Name()); readErr == nil && len(text) > 0 {
			owner = "process " + strings.TrimSpace(string(text))
		}
		_ = lock.Close()
		if errors.Is(err, syscall.EWOULDBLOCK) {
			return nil, fmt.Errorf("%w by %s: stop that one, or give another data folder", ErrDataDirInUse, owner)
		}
		return nil, fmt.Errorf("lock %s: %w", lock.Name(), err)
	}
	if err := errors.Join(lock.Truncate(0), writeAtStart(lock, strconv.Itoa(os.Getpid())+"\n")); err != nil {
		_ = lock.Close()
		return nil, err
	}
	return lock, nil
}

// ErrDataDirInUse: a server runs on the data folder already.
var ErrDataDirInUse = errors.New("the data folder is in use")

func writeAtStart(f *os.File, text string) error {
	_, err := f.WriteAt([]byte(text), 0)
	return err
}

// clusterMajor is the PostgreSQL version that made the cluster, 0 where there is none yet.
func clusterMajor(cluster string) (int, error) {
	text, err := os.ReadFile(filepath.Join(cluster, "PG_VERSION"))
	if errors.Is(err, fs.ErrNotExist) {
		return 0, nil
	}
	if err != nil {
		return 0, err
	}
	major, err := strconv.Atoi(strings.TrimSpace(string(text)))
	if err != nil {
		return 0, fmt.Errorf("%s/PG_VERSION is damaged: restore the folder from a backup, or give another data folder: %w", cluster, err)
	}
	return major, nil
}

// initCluster makes a new cluster beside its final place and moves it there whole, so that an interrupted start leaves no half of one.
func initCluster(ctx context.Context, bin programs, account account, cluster string, durable bool) error {
	if entries, err := os.ReadDir(cluster); err == nil && len(entries) > 0 {
		return fmt.Errorf("%s is not empty and holds no PostgreSQL cluster: empty it, or give another data folder", cluster)
	}
	fresh := cluster + ".new"
	if err := os.RemoveAll(fresh); err != nil {
		return err
	}
	if err := account.own(fresh); err != nil {
		return err
	}
	args := []string{"-D", fresh, "-U", privateSuperuser, "-A", "trust", "-E", "UTF8", "--locale=C.UTF-8", "--no-instructions"}
	if !durable {
		args = append(args, "--no-sync")
	}
	cmd := exec.CommandContext(ctx, bin.path("initdb"), args...)
	cmd.Dir = fresh
	cmd.Env = serverEnv()
	cmd.SysProcAttr = account.attributes()
	if out, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("initdb: %w:\n%s", err, bytes.TrimSpace(out))
	}
	if err := os.Remove(cluster); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return os.Rename(fresh, cluster)
}

// clearStale handles what an earlier server left in postmaster.pid: a server that is still shutting down is waited for, one that goes
// on running is an error, and a number that meanwhile belongs to some other process, at which PostgreSQL itself would refuse to
// start, is removed.
func clearStale(ctx context.Context, cluster string) error {
	pidFile := filepath.Join(cluster, "postmaster.pid")
	for deadline := time.Now().Add(orphanTimeout); ; {
		text, err := os.ReadFile(pidFile)
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		if err != nil {
			return err
		}
		first, _, _ := strings.Cut(string(text), "\n")
		pid, err := strconv.Atoi(strings.TrimSpace(first))
		if err != nil || pid <= 0 || !serverRuns(pid, cluster) {
			if err := os.Remove(pidFile); err != nil && !errors.Is(err, fs.ErrNotExist) {
				return err
			}
			return nil
		}
		if time.Now().After(deadline) {
			return fmt.Errorf("%w by a PostgreSQL server that outlived its program: stop it with 'kill -INT %d'", ErrDataDirInUse, pid)
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(orphanPoll):
		}
	}
}

// serverRuns reports whether process pid is a server on cluster: a server's working folder is its cluster. Where the system has no
// /proc, every living process counts.
func serverRuns(pid int, cluster string) bool {
	if err := syscall.Kill(pid, 0); errors.Is(err, syscall.ESRCH) {
		return false
	}
	if _, err := os.Stat("/proc/self/cwd"); err != nil {
		return true
	}
	dir, err := os.Readlink(fmt.Sprintf("/proc/%d/cwd", pid))
	if err != nil {
		return false // gone meanwhile, or another user's, which our server is not
	}
	target, err := filepath.EvalSymlinks(cluster)
	return err == nil && dir == target
}

// makeSocketDir chooses a folder whose socket path every system takes: in the data folder where that is short, else a temporary one.
func (s *Server) makeSocketDir(account account, dataDir string) error {
	socketLength := len(fmt.Sprintf("/.s.PGSQL.%d", serverPort))
	dir := filepath.Join(dataDir, "run")
	if len(dir)+socketLength <= maxSocketPath {
		s.socketDir = dir
		return account.own(dir)
	}
	for _, parent := range []string{os.TempDir(), "/tmp"} {
		if len(parent)+len("/kitspan-1234567890")+socketLength > maxSocketPath {
			continue
		}
		dir, err := os.MkdirTemp(parent, "kitspan-")
		if err != nil {
			return err
		}
		s.socketDir, s.ownSocket = dir, true
		return account.own(dir)
	}
	return fmt.Errorf("no folder short enough for a socket: its path may have %d bytes", maxSocketPath)
}
