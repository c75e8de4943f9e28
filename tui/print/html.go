package print

import (
	"html/template"
	"io"

	"example.org/meniscus/protocol/summary"
)

// HTML writes a summary as one page that needs nothing else: no script, no font, no picture, nothing to fetch.
func HTML(w io.Writer, s *summary.Summary, o Options) error {
	return sheet.Execute(w, layOut(s, o.Budget))
}

// HasHead tells whether any column has a heading.
func (t *table) HasHead() bool {
	for _, c := range t.Columns {
		if c.Head != "" {
			return true
		}
	}
	return false
}

var sheet = template.Must(template.New("summary").Parse(`<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{{.Title}}</title>
<style>
body { font: 1rem/1.4 sans-serif; max-width: 60rem; margin: 2rem auto; padding: 0 1rem; color: #202020; background: #fff; }
h1, h2, h3 { line-height: 1.2; }
h2 { border-top: 2px solid #202020; padding-top: .5rem; }
table { border-collapse: collapse; }
th, td { text-align: left; vertical-align: top; padding: .15rem 1rem .15rem 0; border-bottom: 1px solid #ccc; }
.right { text-align: right; font-variant-numeric: tabular-nums; }
.remark td { border-bottom: none; padding-left: 1.5rem; color: #404040; }
@media print { body { margin: 0; max-width: none; font-size: 10pt; } h2, h3 { break-after: avoid; } tr { break-inside: avoid; } }
</style>
</head>
<body>
<h1>{{.Title}}</h1>
{{range .Parts -}}
{{if eq .Level 1}}<h2>{{.Title}}</h2>
{{else}}{{if .Title}}<h3>{{.Title}}</h3>
{{end}}{{with .Table}}{{$t := .}}<table>
{{if .HasHead}}<tr>{{range .Columns}}<th scope="col">{{.Head}}</th>{{end}}</tr>
{{end}}{{range .Rows}}<tr>{{range $i, $c := .Cells}}<td{{if (index $t.Columns $i).Right}} class="right"{{end}}>{{$c}}</td>{{end}}</tr>
{{range .Remarks}}<tr class="remark"><td colspan="{{len $t.Columns}}">{{.}}</td></tr>
{{end}}{{end}}</table>
{{end}}{{range .Items}}<p>{{.}}</p>
{{end}}{{end}}{{end}}</body>
</html>
`))
