-- What a person does in Neovim, with its built-in client; prints what came of each step as one line of JSON.
local node, main, folder = vim.env.NODE, vim.env.MAIN, vim.env.FOLDER
local done = {}

local function waitFor(what, isSo)
  if not vim.wait(20000, isSo, 10) then error("waited in vain for " .. what) end
end

local function buffer() return vim.api.nvim_get_current_buf() end
local function text() return table.concat(vim.api.nvim_buf_get_lines(buffer(), 0, -1, false), "\n") end

local function caretAt(pattern, on)
  vim.fn.cursor(1, 1)
  vim.fn.search(pattern, "cW")
  local at = vim.api.nvim_win_get_cursor(0)
  vim.api.nvim_win_set_cursor(0, { at[1], at[2] + (on or 0) })
end

local function ask(method, more)
  local params = vim.tbl_extend("force", vim.lsp.util.make_position_params(), more or {})
  local answers = vim.lsp.buf_request_sync(buffer(), method, params, 20000)
  for _, answer in pairs(answers) do return answer.result end
end

local function steps()
  vim.cmd("edit " .. folder .. "/lamp.ruleout")
  local id = vim.lsp.start_client({
    name = "ruleout",
    cmd = { node, main, "lsp" },
    root_dir = folder,
  })
  vim.lsp.buf_attach_client(buffer(), id)
  waitFor("diagnostics", function() return #vim.diagnostic.get(buffer()) > 0 end)
  done.problems = vim.tbl_map(function(each) return each.message end, vim.diagnostic.get(buffer()))

  caretAt("of bord", 4)
  local action = vim.lsp.util.make_range_params()
  action.context = { diagnostics = {} }
  local fixes = vim.lsp.buf_request_sync(buffer(), "textDocument/codeAction", action, 20000)[id].result
  done.fixes = vim.tbl_map(function(each) return each.title end, fixes)
  vim.lsp.util.apply_workspace_edit(fixes[1].edit, "utf-16")
  waitFor("no error", function()
    return #vim.diagnostic.get(buffer(), { severity = vim.diagnostic.severity.ERROR }) == 0
  end)

  caretAt("in board", 4)
  done.hover = ask("textDocument/hover").contents.value
  vim.lsp.buf.definition()
  waitFor("the definition", function() return vim.fn.line(".") == 2 end)
  done.definition = vim.fn.getline(".")

  caretAt("board", 0)
  vim.lsp.buf.rename("driver")
  waitFor("the new name", function() return not text():find("%f[%w_]board%f[^%w_] odds") end)

  vim.fn.append("$", "when r")
  vim.api.nvim_win_set_cursor(0, { vim.fn.line("$"), 5 })
  local offered = ask("textDocument/completion")
  done.offered = vim.tbl_map(function(each) return each.label end, offered.items or offered)
  vim.cmd("$delete")

  if vim.lsp.buf.format then vim.lsp.buf.format() else vim.lsp.buf.formatting_sync(nil, 20000) end
  vim.cmd("write")
  done.symbols = vim.tbl_map(function(each) return each.name end,
    ask("textDocument/documentSymbol", { position = vim.NIL }))
  vim.lsp.stop_client(id)
  waitFor("the end of the server", function() return vim.lsp.client_is_stopped(id) end)
end

local ok, problem = pcall(steps)
if not ok then done.failed = tostring(problem) end
io.stdout:write(vim.json.encode(done) .. "\n")
vim.cmd("qall!")
