package rest

import (
	"strings"
	"testing"
)

// soft is a shot that is quickly sized.
const soft = `"look": {"soften": "off"}`

func TestAKeptJobHasThePlanThatItsBodyHas(t *testing.T) {
	f := withJobs(t)
	body := jobBody(shotBody("1", soft), shotBody("2", soft, `"prefer": "cheapest"`))
	at := f.staff("POST", "/v1/jobs", body).want(201).header.Get("Location")
	kept := f.do("GET", at+"/plan?house=quayside&pool=true&crew=9&forbid=QG-FRAME-20X20,QG-FRAME-20X30", "").want(200)
	said := f.do("POST", "/v1/plans", `{"house": "quayside", "pool": true, "limits": {"crew": 9}, "forbid": ["QG-FRAME-20X20", "QG-FRAME-20X30"], "job": `+body+`}`).want(200)
	if string(kept.body) != string(said.body) {
		t.Errorf("kept:\n%s\nsaid:\n%s", kept.body, said.body)
	}
	if again := f.do("GET", at+"/plan?house=quayside&pool=true&crew=9&forbid=QG-FRAME-20X20,QG-FRAME-20X30", "").want(200); string(again.body) != string(kept.body) {
		t.Error("asked again, the plan is another")
	}
}

func TestWhatIsWrongWithAPlanIsNamed(t *testing.T) {
	f := withJobs(t)
	at := f.staff("POST", "/v1/jobs", jobBody(shotBody("1"))).want(201).header.Get("Location")
	empty := f.staff("POST", "/v1/jobs", jobBody()).want(201).header.Get("Location")
	for query, want := range map[string]string{
		at + "/plan?house=nowhere":                    `"parameter":"house"`,
		at + "/plan?house=quayside&total=12":          `"parameter":"total"`,
		at + "/plan?house=quayside&forbid=X-1":        `"parameter":"forbid"`,
		at + "/plan?house=quayside&terms=house":       `"parameter":"terms"`,
		at + "/plan?house=quayside&crew=0":            `"parameter":"crew"`,
		at + "/plan?house=quayside&seconds=0":         `"parameter":"seconds"`,
		empty + "/plan?house=quayside":                `"pointer":"/shots"`,
		at + "/plan?house=quayside&aim=fame&crew=999": `"parameter":"aim"`,
	} {
		if got := f.do("GET", query, "").want(422); !strings.Contains(string(got.body), want) {
			t.Errorf("%s: %s, want %s", query, got.body, want)
		}
	}
	f.do("GET", "/v1/jobs/0000000000000000/plan?house=quayside", "").want(404)
}
