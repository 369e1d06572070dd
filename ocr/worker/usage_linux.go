package worker

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"time"
)

// tick is the unit of times under /proc: USER_HZ is 100 on every machine that Go
// runs on (proc(5), sysconf(_SC_CLK_TCK)).
const tick = 10 * time.Millisecond

// usageOf asks the system about a process and its threads; nothing of one that
// is gone.
func usageOf(pid int) (u usage) {
	stats, err := filepath.Glob(fmt.Sprintf("/proc/%d/task/*/stat", pid))
	if err != nil {
		return u
	}
	for _, name := range stats {
		b, err := os.ReadFile(name)
		if err != nil {
			continue
		}
		// The name in brackets may hold anything; behind it: state, and times as
		// the 12th and 13th field (proc_pid_stat(5): 3, 14 and 15).
		fields := bytes.Fields(b[bytes.LastIndexByte(b, ')')+1:])
		if len(fields) < 13 {
			continue
		}
		u.ready = u.ready || fields[0][0] == 'R' || fields[0][0] == 'D'
		for _, f := range fields[11:13] {
			n, _ := strconv.ParseInt(string(f), 10, 64)
			u.spent += time.Duration(n) * tick
		}
	}
	return u
}
