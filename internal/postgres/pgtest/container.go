package pgtest

import (
	"context"
	"errors"
	"fmt"
	"io"
	stdlog "log"
	"net"
	"os"
	"strconv"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/moby/moby/client"
	"github.com/testcontainers/testcontainers-go"
	"github.com/testcontainers/testcontainers-go/log"
	pgcontainer "github.com/testcontainers/testcontainers-go/modules/postgres"
)

const (
	// localImage is what deploy/postgres-image.sh builds where no registry can be reached. It is never asked of a registry.
	localImage    = "kitspan-postgres:local"
	registryImage = "postgres:15"
	// The library's reaper removes containers whose test has died. Its image comes from a registry too; without it Stop alone
	// removes them.
	reaperVariable = "TESTCONTAINERS_RYUK_DISABLED"

	answerPoll    = 50 * time.Millisecond
	answerTimeout = 2 * time.Second // per address: the wrong ones may swallow packets
)

// startContainer runs PostgreSQL by testcontainers, its data in memory.
func startContainer(ctx context.Context) (_ *Server, err error) {
	defer func() {
		// The library panics where it finds no engine's address at all.
		if p := recover(); p != nil {
			err = fmt.Errorf("no container engine: %v", p)
		}
	}()
	log.SetDefault(stdlog.New(io.Discard, "", 0)) // its progress would stand between the tests' lines
	image, err := chooseImage(ctx)
	if err != nil {
		return nil, err
	}
	// To be set before the library reads its settings, which it does once.
	if image == localImage && os.Getenv(reaperVariable) == "" {
		if err := os.Setenv(reaperVariable, "true"); err != nil {
			return nil, err
		}
	}
	const password = "test"
	container, err := pgcontainer.Run(ctx, image,
		pgcontainer.WithUsername("postgres"), pgcontainer.WithPassword(password), pgcontainer.WithDatabase("postgres"),
		testcontainers.WithEnv(map[string]string{
			"PGDATA":               "/var/lib/postgresql/data/cluster", // whoever owns the memory file system
			"POSTGRES_INITDB_ARGS": "--encoding=UTF8 --locale=C.UTF-8 --no-sync",
			"TZ":                   "UTC",
		}),
		testcontainers.WithTmpfs(map[string]string{"/var/lib/postgresql/data": "rw"}),
		testcontainers.WithCmdArgs("-c", "synchronous_commit=off", "-c", "full_page_writes=off", "-c", "max_connections=300"),
	)
	if err != nil {
		return nil, errors.Join(fmt.Errorf("run container of %s: %w", image, err), testcontainers.TerminateContainer(container))
	}
	url, err := waitAnswer(ctx, container, func(address string) string {
		return fmt.Sprintf("postgres://postgres:%s@%s/postgres?sslmode=disable", password, address)
	})
	if err != nil {
		return nil, errors.Join(fmt.Errorf("container of %s: %w", image, err), testcontainers.TerminateContainer(container))
	}
	return &Server{
		URL:  url,
		Path: "container of " + image + " by testcontainers",
		stop: func() error { return testcontainers.TerminateContainer(container) },
	}, nil
}

// chooseImage is EnvImage, else an image that the engine holds already, else the registry's name. It fails where no engine answers.
func chooseImage(ctx context.Context) (string, error) {
	engine, err := client.New(client.FromEnv)
	if err != nil {
		return "", fmt.Errorf("no container engine: %w", err)
	}
	defer engine.Close()
	if _, err := engine.Ping(ctx, client.PingOptions{}); err != nil {
		return "", fmt.Errorf("no container engine answers: %w", err)
	}
	if image := os.Getenv(EnvImage); image != "" {
		return image, nil
	}
	for _, image := range []string{registryImage, localImage} {
		if _, err := engine.ImageInspect(ctx, image); err == nil {
			return image, nil
		}
	}
	return registryImage, nil
}

// waitAnswer returns the first URL at which the container's server answers. The library guesses one address, and guesses wrong on a
// machine that looks like a container without being a sibling of ours, so the published port on this machine and the container's own
// address are tried too. While the image sets itself up its server has a socket only: an answer over TCP is the final server's.
func waitAnswer(ctx context.Context, container *pgcontainer.PostgresContainer, url func(address string) string) (string, error) {
	var lastErr error
	for {
		state, err := container.State(ctx)
		if err != nil {
			return "", errors.Join(err, lastErr)
		}
		if !state.Running {
			return "", fmt.Errorf("ended with code %d: %s", state.ExitCode, lastLines(ctx, container))
		}
		for _, address := range addresses(ctx, container) {
			if lastErr = answers(ctx, url(address)); lastErr == nil {
				return url(address), nil
			}
		}
		select {
		case <-ctx.Done():
			return "", errors.Join(ctx.Err(), lastErr)
		case <-time.After(answerPoll):
		}
	}
}

func addresses(ctx context.Context, container *pgcontainer.PostgresContainer) []string {
	var found []string
	if port, err := container.MappedPort(ctx, "5432/tcp"); err == nil {
		published := strconv.Itoa(int(port.Num()))
		if host, err := container.Host(ctx); err == nil {
			found = append(found, net.JoinHostPort(host, published))
		}
		found = append(found, net.JoinHostPort("127.0.0.1", published))
	}
	if ip, err := container.ContainerIP(ctx); err == nil && ip != "" {
		found = append(found, net.JoinHostPort(ip, "5432"))
	}
	return found
}

func answers(ctx context.Context, url string) error {
	ctx, cancel := context.WithTimeout(ctx, answerTimeout)
	defer cancel()
	conn, err := pgx.Connect(ctx, url)
	if err != nil {
		return err
	}
	return conn.Close(ctx)
}

// lastLines is what the container said at the end, for an error.
func lastLines(ctx context.Context, container testcontainers.Container) string {
	logs, err := container.Logs(ctx)
	if err != nil {
		return err.Error()
	}
	defer logs.Close()
	text, err := io.ReadAll(logs)
	if err != nil {
		return err.Error()
	}
	const most = 1000
	return string(text[max(0, len(text)-most):])
}
