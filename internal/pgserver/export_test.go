//go:build unix

package pgserver

import (
	"context"
	"os"
	"syscall"
)

// What the tests outside this package need from inside: they are outside because pgtest imports this package.

const MaxSocketPath = maxSocketPath

// FindPrograms reports whether a new cluster could be made.
func FindPrograms(ctx context.Context) error {
	_, err := findPrograms(ctx, 0)
	return err
}

func (s *Server) Process() *os.Process { return s.proc }

// SocketDir is where the socket lies, and whether that is a temporary folder of the server's own.
func (s *Server) SocketDir() (dir string, own bool) { return s.socketDir, s.ownSocket }

// ServerUser is the user that a server runs as, and what makes a child run as that user.
func ServerUser() (uid int, attributes *syscall.SysProcAttr, err error) {
	a, err := serverAccount()
	if err != nil || !a.other {
		return os.Geteuid(), &syscall.SysProcAttr{}, err
	}
	return a.uid, a.attributes(), nil
}
