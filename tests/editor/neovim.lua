-- Neovim with its own client of the Language Server Protocol, driven without a screen: a mistake is typed and seen, mended,
-- and the result is seen. What it prints is held against `neovim.txt`.

local function say(words)
  io.stdout:write(words .. '\n')
end

-- Waits until something holds; ends the editor in failure where it does not come to.
local function wait(what, holds)
  if not vim.wait(60000, holds, 10) then
    say('in vain: ' .. what)
    vim.cmd('cquit! 1')
  end
end

-- Later versions call it otherwise.
local function clients()
  return (vim.lsp.get_clients or vim.lsp.get_active_clients)()
end

local function troubles()
  return vim.diagnostic.get(0)
end

local function type_keys(keys)
  vim.api.nvim_feedkeys(vim.api.nvim_replace_termcodes(keys, true, true, true), 'tx', false)
end

local function run()
  vim.cmd('edit strip.worksheet')
  vim.lsp.start_client({
    name = 'catchwork',
    cmd = { os.getenv('PROGRAM'), 'editor' },
    root_dir = vim.fn.getcwd(),
    on_init = function(client)
      vim.lsp.buf_attach_client(0, client.id)
    end,
  })
  wait('a client', function() return #clients() == 1 end)

  type_keys('i! Water only for this test.<CR>strip length : 60 ft<CR>spray width : 28 in ± 1 in<CR>'
    .. 'strip area = strip lenght * spray width [ft²]<Esc>')
  wait('the mistake', function() return #troubles() > 0 end)
  say('typed a mistake:')
  for _, trouble in ipairs(troubles()) do
    local line = vim.api.nvim_buf_get_lines(0, trouble.lnum, trouble.lnum + 1, true)[1]
    say('  ' .. line)
    say('  ' .. string.rep(' ', vim.fn.strchars(line:sub(1, trouble.col)))
      .. string.rep('^', trouble.end_col - trouble.col))
    say('  ' .. trouble.message:gsub('\n', '\n  '))
  end

  vim.cmd([[%s/lenght/length/]])
  wait('no mistake', function() return #troubles() == 0 end)
  say('mended it, and beside the line stands:')
  local everything = { start = { line = 0, character = 0 }, ['end'] = { line = 100, character = 0 } }
  local params = { textDocument = vim.lsp.util.make_text_document_params(), range = everything }
  for _, answer in pairs(vim.lsp.buf_request_sync(0, 'textDocument/inlayHint', params, 60000)) do
    for _, hint in ipairs(answer.result) do
      say('  ' .. vim.api.nvim_buf_get_lines(0, hint.position.line, hint.position.line + 1, true)[1] .. '   ' .. hint.label)
    end
  end

  say('under the cursor Neovim shows:')
  vim.api.nvim_win_set_cursor(0, { 4, 2 })
  vim.lsp.buf.hover()
  local window
  wait('a window', function()
    for _, other in ipairs(vim.api.nvim_list_wins()) do
      if vim.api.nvim_win_get_config(other).relative ~= '' then window = other end
    end
    return window ~= nil
  end)
  for _, line in ipairs(vim.api.nvim_buf_get_lines(vim.api.nvim_win_get_buf(window), 0, -1, true)) do
    say(('  ' .. line):gsub('%s+$', ''))
  end

  vim.lsp.stop_client(clients())
  wait('its end', function() return #clients() == 0 end)
  vim.cmd('quitall!')
end

vim.defer_fn(function()
  local worked, why = pcall(run)
  if not worked then
    say(tostring(why))
    vim.cmd('cquit! 1')
  end
end, 0)
